import type { EventsOutcome } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { selectEvents } from '../../extraction/selectEvents.ts';
import { poolBySite, type SitePools } from '../../pooling/poolBySite.ts';
import { protocolOptions } from '../../pooling/protocolOptions.ts';

/** One outcome as the protocol counts and pools it. */
export interface OutcomeAtSites {
  readonly outcome: EventsOutcome;
  readonly pools: SitePools;
  /** Arms selected, those outside the four sites included. */
  readonly arms: number;
  /** Rows of events.csv that were not used. */
  readonly leftOut: number;
}

/** Every outcome counted as events at every site, by the protocol: a few hundredths of a second for a review. */
export function outcomesAtSites(review: Review): readonly OutcomeAtSites[] {
  return review.protocol.outcomes
    .filter((outcome) => outcome.kind === 'events')
    .map((outcome) => {
      const { arms, leftOut } = selectEvents(review, outcome.id);
      const pools = poolBySite(arms, protocolOptions(review.protocol, outcome));
      return { outcome, pools, arms: arms.length, leftOut: leftOut.length };
    });
}
