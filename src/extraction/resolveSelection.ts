import { definitionText } from './definitions.ts';
import type { ResolvedSelection, SelectionDepartures } from './eventSelection.ts';
import { didYouMean, listNames } from './nearestName.ts';
import { type EventsOutcome, midGrooveRules, overlapRules, type Protocol } from './protocol.ts';
import { studyDesigns } from './sheets/studiesSheet.ts';

const departureNames = [
  'siteRule',
  'definitions',
  'assessors',
  'windowMonths',
  'overlapRule',
  'designs',
] as const;

/** Fills departures in from the protocol and says each difference in a sentence; unknown names and values throw. */
export function resolveSelection(
  protocol: Protocol,
  outcome: EventsOutcome,
  departures: SelectionDepartures,
): { readonly options: ResolvedSelection; readonly sentences: readonly string[] } {
  for (const name of Object.keys(departures)) {
    if (!(departureNames as readonly string[]).includes(name)) {
      throw new RangeError(
        `unknown departure "${name}". ${didYouMean(name, departureNames)}Allowed: ${listNames(departureNames)}`,
      );
    }
  }
  const allowed = (name: string, value: string, values: readonly string[]): void => {
    if (!values.includes(value))
      throw new RangeError(`${name} must be one of ${listNames(values)}; received "${value}"`);
  };
  if (departures.siteRule !== undefined)
    allowed('siteRule.midGroove', departures.siteRule.midGroove, midGrooveRules);
  if (departures.overlapRule !== undefined) allowed('overlapRule', departures.overlapRule, overlapRules);
  for (const design of departures.designs ?? []) allowed('designs', design, studyDesigns);
  for (const name of ['definitions', 'assessors', 'designs'] as const) {
    if (departures[name]?.length === 0)
      throw new RangeError(`${name} must name at least one; received an empty list`);
  }
  const window = departures.windowMonths;
  if (window !== undefined && window !== null && !(window.minimum >= 0 && window.minimum <= window.maximum)) {
    throw new RangeError(
      `windowMonths must have 0 <= minimum <= maximum; received ${window.minimum} to ${window.maximum}`,
    );
  }
  const options: ResolvedSelection = {
    siteRule: departures.siteRule ?? protocol.siteRule,
    definitions: departures.definitions ?? outcome.definitions,
    assessors: departures.assessors ?? outcome.assessors,
    windowMonths: window === null ? undefined : (window ?? outcome.windowMonths),
    overlapRule: departures.overlapRule ?? protocol.overlapRule,
    designs: departures.designs ?? protocol.designs ?? studyDesigns,
  };
  const planned = resolvedInWords({
    siteRule: protocol.siteRule,
    definitions: outcome.definitions,
    assessors: outcome.assessors,
    windowMonths: outcome.windowMonths,
    overlapRule: protocol.overlapRule,
    designs: protocol.designs ?? studyDesigns,
  });
  const done = resolvedInWords(options);
  const sentences = Object.keys(done)
    .filter((what) => done[what] !== planned[what])
    .map((what) => `${what}: ${done[what]}, where the protocol has ${planned[what]}.`);
  return { options, sentences };
}

function resolvedInWords(options: ResolvedSelection): Readonly<Record<string, string>> {
  const window = options.windowMonths;
  return {
    'Mid-groove arms': options.siteRule.midGroove.replaceAll('-', ' '),
    'Definitions accepted': options.definitions.map(definitionText).join(', '),
    'Assessors accepted': options.assessors.join(', '),
    'Time window': window === undefined ? 'any time' : `${window.minimum} to ${window.maximum} months`,
    'Overlapping reports': options.overlapRule,
    'Designs included': options.designs.join(', '),
  };
}
