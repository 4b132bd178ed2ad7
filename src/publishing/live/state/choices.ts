import type { EventsOutcome, Protocol } from '../../../extraction/protocol.ts';
import { studyDesigns } from '../../../extraction/sheets/studiesSheet.ts';
import { meanIntervalMethods } from '../../../pooling/meanIntervalMethods.ts';
import { intervalGoesWith } from '../../../pooling/resolvePoolOptions.ts';
import type { LiveChoices, LiveState } from './liveState.ts';

/** Outcomes counted as events, in the order of the protocol; the page has views for these only. */
export const countedOutcomes = (protocol: Protocol): readonly EventsOutcome[] =>
  protocol.outcomes.filter((outcome) => outcome.kind === 'events');

/**
 * The outcome with this id.
 *
 * @throws RangeError when the protocol counts no such outcome
 */
export function outcomeOf(protocol: Protocol, id: string): EventsOutcome {
  const found = countedOutcomes(protocol).find((outcome) => outcome.id === id);
  if (found === undefined) throw new RangeError(`unknown outcome counted as events: "${id}"`);
  return found;
}

/** The choices the protocol wrote down, for one of its outcomes. */
export function plannedChoices(protocol: Protocol, outcome: EventsOutcome): LiveChoices {
  const { analysis } = protocol;
  return {
    definitions: outcome.definitions,
    assessors: outcome.assessors,
    windowMonths: outcome.windowMonths ?? null,
    midGroove: protocol.siteRule.midGroove,
    overlapRule: protocol.overlapRule,
    designs: protocol.designs ?? studyDesigns,
    quality: 'all',
    model: analysis.model,
    scale: analysis.rateScale,
    zeroEvents: analysis.zeroEvents,
    betweenStudyVariance: analysis.betweenStudyVariance,
    interval: analysis.interval,
    prediction: analysis.prediction,
    level: analysis.level,
  };
}

/** The choices in force: the protocol's, with the departures of the state. */
export const choicesInForce = (protocol: Protocol, state: LiveState): LiveChoices => ({
  ...plannedChoices(protocol, outcomeOf(protocol, state.outcome)),
  ...state.departures,
});

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);

/** A set of choices as the ways it differs from the protocol, with designs in the order of the list. */
export function departuresFrom(planned: LiveChoices, chosen: LiveChoices): Partial<LiveChoices> {
  const inOrder = (designs: LiveChoices['designs']) =>
    studyDesigns.filter((design) => designs.includes(design));
  const tidy = { ...chosen, designs: inOrder(chosen.designs) };
  const own = { ...planned, designs: inOrder(planned.designs) };
  return Object.fromEntries(
    Object.entries(tidy).filter(([name, value]) => !same(value, own[name as keyof LiveChoices])),
  );
}

/**
 * Choices that go together: an interval from the profile likelihood gives way when the reader chooses a model or an
 * estimator it does not belong to.
 *
 * @returns the choices, and a sentence for each that had to give way
 */
export function reconcile(
  planned: LiveChoices,
  chosen: LiveChoices,
): { readonly choices: LiveChoices; readonly said: readonly string[] } {
  const goes = (interval: LiveChoices['interval']) =>
    intervalGoesWith(interval, chosen.model, chosen.betweenStudyVariance);
  if (goes(chosen.interval)) return { choices: chosen, said: [] };
  const interval = goes(planned.interval) ? planned.interval : 'wald';
  return {
    choices: { ...chosen, interval },
    said: [
      `The ${meanIntervalMethods[chosen.interval].name} interval goes with random effects and the maximum-likelihood estimate only, so the ${meanIntervalMethods[interval].name} interval is used.`,
    ],
  };
}
