import type { Answer } from '../../answers/answer.ts';
import { answersOf } from '../../answers/answersOf.ts';
import type { EventsOutcome } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import type { SitePools } from '../../pooling/poolBySite.ts';

/** One outcome as the protocol counts and pools it. */
export interface OutcomeAtSites {
  readonly outcome: EventsOutcome;
  readonly pools: SitePools;
  /** The answer to each rate, in the order of the pools. */
  readonly rates: readonly Answer[];
  /** Arms selected, those outside the four sites included. */
  readonly arms: number;
  /** Rows of events.csv that were not used. */
  readonly leftOut: number;
}

/** Every outcome counted as events at every site, by the protocol: a few hundredths of a second for a review. */
export function outcomesAtSites(review: Review): readonly OutcomeAtSites[] {
  const answers = answersOf(review);
  return review.protocol.outcomes
    .filter((outcome) => outcome.kind === 'events')
    .map((outcome) => {
      const { arms, pools, selection } = answers.counts(outcome.id);
      const rates = pools.sites.flatMap(({ answer }) => (answer === undefined ? [] : [answers.to(answer)]));
      return { outcome, pools, rates, arms: arms.length, leftOut: selection.leftOut.length };
    });
}
