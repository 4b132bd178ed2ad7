import { certaintyOfReview } from '../certainty/certaintyOfReview.ts';
import { type OpenDecisions, openDecisionsAmong, questionsDecidedOn } from '../certainty/openDecisions.ts';
import { answersOf, type ReviewForAnswers } from './answersOf.ts';
import { networkRatingsOf } from './networkAnswers.ts';
import { answerId } from './question.ts';

/**
 * Which decisions on certainty must be taken again?
 *
 * Looks at the answer to every question that certainty.csv holds a row on, and gathers what does not count: decisions on
 * another body of evidence than the one that answers now, on a body that has changed since, or without a record of what
 * it held. Rows of `certainty.csv` are listed, never dropped.
 *
 * @throws RangeError as {@link certaintyOfReview}
 * @see docs/methods-certainty.md, section 4
 * @example
 * openDecisions(review).sentence // '5 decisions on certainty must be taken again: …'
 */
export function openDecisions(review: ReviewForAnswers): OpenDecisions {
  const answers = answersOf(review);
  const asked = new Set(answers.questions.map(answerId));
  const networks = new Set(
    review.certainty.flatMap(({ body, outcome }) => (body === 'network' ? [outcome] : [])),
  );
  return openDecisionsAmong([
    ...questionsDecidedOn(review).map((question) => {
      const id = answerId(question);
      // A row may be on a site that the protocol does not ask about.
      const rating = asked.has(id) ? answers.to(id).behind.rating : undefined;
      return rating ?? certaintyOfReview(review, question);
    }),
    ...[...networks].flatMap((outcome) => networkRatingsOf(answers, outcome)),
  ]);
}
