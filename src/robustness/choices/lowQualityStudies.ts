import { isReported } from '../../extraction/reported.ts';
import type { Review } from '../../extraction/review.ts';

/** Overall judgements that count as low quality. */
const lowOverall: Readonly<Record<string, readonly string[]>> = {
  'RoB 2': ['high'],
  'ROBINS-I': ['serious', 'critical'],
};

/**
 * Which studies would a reader who only trusts careful ones leave out, for one outcome?
 *
 * RoB 2 overall high; ROBINS-I overall serious or critical; MINORS below half of what its judged items can reach
 * (2 each). MINORS has no official bands: the half is a convention of this project. A study without any judgement is
 * not called low.
 *
 * @returns study ids
 * @example
 * lowQualityStudies(review, 'revision') // Set { 'quellmoor-2010' }
 */
export function lowQualityStudies(
  review: Pick<Review, 'judgements'>,
  outcomeId: string,
): ReadonlySet<string> {
  const low = new Set<string>();
  const minors = new Map<string, { sum: number; items: number }>();
  for (const { study, tool, item, outcome, judgement } of review.judgements) {
    if ((isReported(outcome) && outcome !== outcomeId) || item === 'total') continue;
    if (tool === 'MINORS') {
      const so = minors.get(study) ?? { sum: 0, items: 0 };
      minors.set(study, { sum: so.sum + Number(judgement), items: so.items + 1 });
    } else if (item.toLowerCase() === 'overall' && lowOverall[tool]?.includes(judgement.toLowerCase())) {
      low.add(study);
    }
  }
  for (const [study, { sum, items }] of minors) if (sum < items) low.add(study);
  return low;
}
