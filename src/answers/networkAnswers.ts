import { networkCertainty } from '../certainty/networkCertainty.ts';
import type { NetworkRating } from '../certainty/rateNetworkEstimate.ts';
import type { ReviewAnswers } from './answersOf.ts';

const known = new WeakMap<ReviewAnswers, Map<string, readonly NetworkRating[]>>();

/**
 * What the network of one outcome says of each pair, and how sure one may be, beside the answers of the pairs.
 *
 * Fitted when it is first asked for, and once for the answers of a review.
 */
export function networkRatingsOf(answers: ReviewAnswers, outcome: string): readonly NetworkRating[] {
  const kept = known.get(answers) ?? new Map<string, readonly NetworkRating[]>();
  known.set(answers, kept);
  const found = kept.get(outcome) ?? ratings(answers, outcome);
  kept.set(outcome, found);
  return found;
}

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
