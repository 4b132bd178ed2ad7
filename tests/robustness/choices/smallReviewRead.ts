import { formatProblem } from '../../../src/extraction/problem.ts';
import { readReview } from '../../../src/extraction/readReview.ts';
import type { Review } from '../../../src/extraction/review.ts';
import { smallReview } from '../../extraction/smallReview.ts';

/** The small review of the extraction tests, read. */
export function smallReviewRead(): Review {
  const { review, problems } = readReview(smallReview);
  if (review === undefined) throw new Error(problems.map(formatProblem).join('; '));
  return review;
}
