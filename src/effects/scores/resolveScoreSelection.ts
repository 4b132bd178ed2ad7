import { listNames } from '../../extraction/nearestName.ts';
import { midGrooveRules, overlapRules, type Protocol, type ScoreOutcome } from '../../extraction/protocol.ts';
import { studyDesigns } from '../../extraction/sheets/studiesSheet.ts';
import { intervalQuantiles } from './deviationFromInterval.ts';
import { scoreKinds } from './harmoniseScore.ts';
import { requireKnownOptions, requireOneOf } from './scoreInputs.ts';
import {
  doubtfulConversions,
  type ResolvedScoreConversionOptions,
  type ResolvedScoreSelection,
  type ScoreConversionOptions,
  type ScoreSelectionDepartures,
} from './scoreSelection.ts';

const departureNames = [
  'siteRule',
  'scales',
  'valueTypes',
  'windowMonths',
  'overlapRule',
  'designs',
  'conversions',
] as const;

/** Fills departures in from the protocol and says each difference in a sentence; unknown names and values throw. */
export function resolveScoreSelection(
  protocol: Protocol,
  outcome: ScoreOutcome,
  departures: ScoreSelectionDepartures,
): { readonly options: ResolvedScoreSelection; readonly sentences: readonly string[] } {
  requireKnownOptions(departures, departureNames);
  if (departures.siteRule !== undefined) {
    requireOneOf('siteRule.midGroove', departures.siteRule.midGroove, midGrooveRules);
  }
  if (departures.overlapRule !== undefined) requireOneOf('overlapRule', departures.overlapRule, overlapRules);
  for (const design of departures.designs ?? []) requireOneOf('designs', design, studyDesigns);
  for (const kind of departures.valueTypes ?? []) requireOneOf('valueTypes', kind, scoreKinds);
  const known = protocol.scales.map((scale) => scale.id);
  for (const scale of departures.scales ?? []) requireOneOf('scales', scale, known);
  for (const name of ['scales', 'valueTypes', 'designs'] as const) {
    if (departures[name]?.length === 0) {
      throw new RangeError(`${name} must name at least one; received an empty list`);
    }
  }
  const window = departures.windowMonths;
  if (window !== undefined && window !== null && !(window.minimum >= 0 && window.minimum <= window.maximum)) {
    throw new RangeError(
      `windowMonths must have 0 <= minimum <= maximum; received ${window.minimum} to ${window.maximum}`,
    );
  }
  const planned = {
    siteRule: protocol.siteRule,
    scales: outcome.scales,
    valueTypes: outcome.valueTypes,
    windowMonths: outcome.windowMonths,
    overlapRule: protocol.overlapRule,
    designs: protocol.designs ?? studyDesigns,
  };
  const chosen = {
    siteRule: departures.siteRule ?? planned.siteRule,
    scales: departures.scales ?? planned.scales,
    valueTypes: departures.valueTypes ?? planned.valueTypes,
    windowMonths: window === null ? undefined : (window ?? planned.windowMonths),
    overlapRule: departures.overlapRule ?? planned.overlapRule,
    designs: departures.designs ?? planned.designs,
  };
  const before = inWords(planned);
  const after = inWords(chosen);
  const sentences = Object.keys(after)
    .filter((what) => after[what] !== before[what])
    .map((what) => `${what}: ${after[what]}, where the protocol has ${before[what]}.`);
  return { options: { ...chosen, conversions: resolveConversions(departures.conversions ?? {}) }, sentences };
}

function resolveConversions(options: ScoreConversionOptions): ResolvedScoreConversionOptions {
  requireKnownOptions(options, ['summary', 'intervalQuantile', 'skewed', 'rangeOnly', 'correlation']);
  requireKnownOptions(options.summary ?? {}, ['mean', 'standardDeviation', 'divisor']);
  const resolved = {
    summary: options.summary ?? {},
    intervalQuantile: options.intervalQuantile ?? 't',
    skewed: options.skewed ?? 'convert',
    rangeOnly: options.rangeOnly ?? 'leave-out',
    correlation: options.correlation,
  } as const;
  requireOneOf('intervalQuantile', resolved.intervalQuantile, intervalQuantiles);
  requireOneOf('skewed', resolved.skewed, doubtfulConversions);
  requireOneOf('rangeOnly', resolved.rangeOnly, doubtfulConversions);
  const { correlation } = resolved;
  if (correlation !== undefined && !(correlation >= -1 && correlation <= 1)) {
    throw new RangeError(`correlation must lie from -1 to 1; received ${correlation}`);
  }
  return resolved;
}

type Choices = Omit<ResolvedScoreSelection, 'conversions'>;

function inWords(choices: Choices): Readonly<Record<string, string>> {
  const window = choices.windowMonths;
  return {
    'Mid-groove arms': choices.siteRule.midGroove.replaceAll('-', ' '),
    'Scales accepted': listNames(choices.scales),
    'Kinds of value accepted': choices.valueTypes.join(', '),
    'Time window': window === undefined ? 'any time' : `${window.minimum} to ${window.maximum} months`,
    'Overlapping reports': choices.overlapRule,
    'Designs included': choices.designs.join(', '),
  };
}
