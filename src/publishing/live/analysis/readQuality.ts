import { studyQuality } from '../../../certainty/quality/studyQuality.ts';
import type { Review } from '../../../extraction/review.ts';
import { lowQualityStudies } from '../../../robustness/choices/lowQualityStudies.ts';
import type { QualityRule } from '../state/liveState.ts';

/** Studies each rule of quality leaves out, for one outcome; they are the same whatever else is chosen. */
export type QualityReadings = Readonly<Record<QualityRule, ReadonlySet<string>>>;

/** Which studies would a reader leave out who trusts careful ones more, or only the best? */
export function readQuality(review: Review, outcomeId: string): QualityReadings {
  const judged = studyQuality(review, outcomeId);
  return {
    all: new Set(),
    'without-low': lowQualityStudies(review, outcomeId),
    'low-concern': new Set(
      judged.filter(({ concern }) => concern !== 'low concern').map(({ study }) => study),
    ),
  };
}

/** What a rule leaves out, in words that begin a sentence. */
export const leftOutByQuality: Readonly<Record<Exclude<QualityRule, 'all'>, string>> = {
  'without-low': 'Studies of low quality',
  'low-concern': 'Studies that raise some or high concern, or that nobody judged',
};
