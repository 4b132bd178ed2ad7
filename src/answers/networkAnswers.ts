import { networkCertainty } from '../certainty/networkCertainty.ts';
import { oncePerReview } from '../certainty/oncePerReview.ts';
import type { NetworkRating } from '../certainty/rateNetworkEstimate.ts';
import type { ReviewAnswers } from './answersOf.ts';

/**
 * What the network of one outcome says of each pair, and how sure one may be, beside the answers of the pairs.
 *
 * Fitted when it is first asked for, and once for the answers of a review.
 */
export const networkRatingsOf = (answers: ReviewAnswers, outcome: string): readonly NetworkRating[] =>
  oncePerReview(answers, `network ratings ${outcome}`, () => ratings(answers, outcome));

const ratings = (answers: ReviewAnswers, outcome: string): readonly NetworkRating[] =>
  networkCertainty(
    answers.review,
    answers.counts(outcome),
    answers.questions.flatMap((question) =>
      question.kind === 'comparison' && question.outcome === outcome
        ? (answers.to(question).behind.rating ?? [])
        : [],
    ),
  );
