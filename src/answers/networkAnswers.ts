import { networkCertainty } from '../certainty/networkCertainty.ts';
import type { NetworkRating } from '../certainty/rateNetworkEstimate.ts';
import { type ReviewAnswers, ratingsOf } from './answersOf.ts';

/** What the network of one outcome says of each pair, and how sure one may be, beside the answers of the pairs. */
export const networkRatingsOf = (answers: ReviewAnswers, outcome: string): readonly NetworkRating[] =>
  networkCertainty(
    answers.review,
    answers.counts(outcome),
    ratingsOf(answers, (question) => question.kind === 'comparison' && question.outcome === outcome),
  );
