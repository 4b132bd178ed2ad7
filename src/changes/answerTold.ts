import { group } from 'd3-array';
import type { Answer, AnswerBody } from '../answers/answer.ts';
import { answersOf, type ReviewForAnswers } from '../answers/answersOf.ts';
import { answerId, type Question } from '../answers/question.ts';
import type { Verdict } from '../answers/verdict.ts';
import type { CertaintyLevel } from '../certainty/certaintyRating.ts';

import { chooseForOutcome, rateFacts } from '../pooling/quoted/rateRule.ts';

export type { Question, QuestionKind } from '../answers/question.ts';

/** What two versions of an answer are compared by. */
export interface AnswerTold {
  readonly key: string;
  readonly question: Question;
  readonly outcomeName: string;
  /** `Subpectoral`, or `Suprapectoral against subpectoral`. */
  readonly name: string;
  /** `per 100 shoulders`, or `points (Visual analogue scale for pain, 0 to 10)`. */
  readonly unit: string;
  /** Undefined when nothing could be estimated. */
  readonly value: number | undefined;
  readonly lower: number | undefined;
  readonly upper: number | undefined;
  readonly studies: number;
  /** Of these, randomised trials, where they are pooled together with other studies. */
  readonly trials?: number;
  readonly shoulders: number;
  /** The body that answers. */
  readonly body: AnswerBody;
  readonly certainty: CertaintyLevel | undefined;
  readonly confirmed: boolean;
  readonly verdict: Verdict;
  /** The protocol's smallest difference that matters, in the same unit; undefined on a scale it was not stated for. */
  readonly material: number | undefined;
}

/** Answers already worked out, by all they came from; shared by the many states of one comparison. */
export type AnswerMemory = Map<string, AnswerTold>;

const toldOf = (answer: Answer): AnswerTold => ({
  key: answer.id,
  question: answer.question,
  outcomeName: answer.outcomeName,
  name: answer.name,
  unit: answer.unit,
  value: answer.quoted?.value,
  lower: answer.quoted?.lower,
  upper: answer.quoted?.upper,
  studies: answer.studies,
  ...(answer.trials === undefined ? {} : { trials: answer.trials }),
  shoulders: answer.shoulders,
  body: answer.body,
  certainty: answer.certainty.level,
  confirmed: answer.certainty.confirmed,
  verdict: answer.verdict,
  material: answer.material,
});

/**
 * The answers of a review, as far as versions are compared by them.
 *
 * @param memory pass one map for several reviews that share most of their rows: an answer is worked out once for the same
 *   rules, counts, judgements and decisions
 */
export function answersTold(
  review: ReviewForAnswers,
  memory: AnswerMemory = new Map(),
): ReadonlyMap<string, AnswerTold> {
  const answers = answersOf(review);
  const shared = JSON.stringify([
    review.protocol.analysis,
    review.protocol.certainty,
    review.protocol.sites,
    review.protocol.scales,
  ]);
  return new Map(
    answers.questions.map((question) => {
      const id = answerId(question);
      const key = `${id} ${shared} ${inputsOf(review, question, answers)}`;
      const told = memory.get(key) ?? toldOf(answers.to(question));
      memory.set(key, told);
      return [id, told];
    }),
  );
}

/** Everything of the review that one answer is worked out from, as text. */
function inputsOf(
  review: ReviewForAnswers,
  question: Question,
  answers: ReturnType<typeof answersOf>,
): string {
  const places = 'comparator' in question ? [question.site, question.comparator] : [question.site];
  const here = (site: string): boolean => (places as readonly string[]).includes(site);
  const outcome = review.protocol.outcomes.find(({ id }) => id === question.outcome);
  if (question.kind === 'mean' || question.kind === 'mean difference') {
    const arms = answers.scores(question.outcome).arms.filter(({ site }) => here(site));
    return JSON.stringify([
      outcome,
      arms.map((arm) => [
        arm.study,
        arm.arm,
        arm.site,
        arm.design,
        arm.scale,
        arm.mean,
        arm.standardDeviation,
        arm.total,
      ]),
    ]);
  }
  const all = answers.counts(question.outcome).arms;
  const arms = all.filter(({ site }) => here(site));
  const studies = new Set(arms.map(({ study }) => study));
  const about = (row: { readonly outcome?: unknown }): boolean => row.outcome === question.outcome;
  return JSON.stringify([
    outcome,
    arms.map(({ row: _, ...arm }) => arm),
    // One method for all sites: counts of another one may change which number is quoted here.
    chooseForOutcome([...group(all, ({ site }) => site).values()].map(rateFacts)),
    review.arms.filter(({ study }) => studies.has(study)),
    review.judgements.filter(({ study }) => studies.has(study)),
    review.certainty.filter(about),
    review.missing.filter(about),
    // Reports that say nothing of the outcome count towards missing evidence.
    review.studies.length,
    review.events.filter((row) => about(row) || studies.has(row.study)).length,
  ]);
}
