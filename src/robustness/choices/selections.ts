import type { Count } from '../../effects/estimate.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import { armKey } from '../../extraction/armKey.ts';
import { classifySite } from '../../extraction/classifySite.ts';
import { mergeArms } from '../../extraction/mergeArms.ts';
import type { Review } from '../../extraction/review.ts';
import { selectEvents } from '../../extraction/selectEvents.ts';
import type { ClassifiedSite, PooledSite } from '../../extraction/site.ts';
import type { ChoiceGrid } from './choiceGrid.ts';
import { lowQualityStudies } from './lowQualityStudies.ts';

/** One selection of arms: which options made it, and the counts it leaves at a site, arms of one study counted once. */
export interface Selected {
  readonly choices: readonly [number, number, number, number, number];
  readonly at: (site: PooledSite) => readonly Count[];
}

/** Every selection of arms, in the order of the grid; what two of them share is worked out once. */
export function* selections(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'events' | 'judgements'>,
  outcomeId: string,
  grid: ChoiceGrid,
): Generator<Selected> {
  const low = lowQualityStudies(review, outcomeId);
  // Only rows of this outcome can be selected, and only the mid-groove rule changes the site of an arm.
  const events = review.events.filter((row) => row.outcome === outcomeId);
  const careful = review.studies.filter(({ study }) => !low.has(study));
  const chosen = new Map<string, readonly ArmEvents[]>();
  const sites = grid.midGroove.map(
    (midGroove) =>
      new Map<string, ClassifiedSite>(
        review.arms.map((arm) => [armKey(arm), classifySite(arm, { midGroove }).site]),
      ),
  );
  for (const m of grid.midGroove.keys()) {
    const siteOf = sites[m]!;
    for (const [d, definition] of grid.definition.entries()) {
      for (const [w, { windowMonths }] of grid.window.entries()) {
        for (const [n, { designs, withoutLowQuality }] of grid.inclusion.entries()) {
          for (const [o, overlapRule] of grid.overlap.entries()) {
            const key = `${d} ${w} ${n} ${o}`;
            let arms = chosen.get(key);
            if (arms === undefined) {
              arms = selectEvents(
                { ...review, events, studies: withoutLowQuality ? careful : review.studies },
                outcomeId,
                {
                  definitions: definition.definitions,
                  assessors: definition.assessors,
                  windowMonths,
                  designs,
                  overlapRule,
                },
              ).arms;
              chosen.set(key, arms);
            }
            const selected = arms;
            yield {
              choices: [m, d, w, n, o],
              at: (site) =>
                mergeArms(
                  selected.flatMap((arm) => (siteOf.get(armKey(arm)) === site ? [{ ...arm, site }] : [])),
                ),
            };
          }
        }
      }
    }
  }
}
