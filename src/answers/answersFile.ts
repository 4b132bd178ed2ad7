import { bodyName } from '../certainty/bodyInWords.ts';
import { clinicalCaution } from '../wording/clinicalCaution.ts';
import type { Answer } from './answer.ts';
import type { ReviewAnswers } from './answersOf.ts';

/** The file's own version: raised when a key changes its meaning. */
export const answersFormat = 1;

/** One answer as other programs read it; what is not known is `null`, never 0. */
export function answerRecord(answer: Answer) {
  const { id, question, quoted, risk, certainty } = answer;
  return {
    id,
    question: { ...question },
    outcome: answer.outcomeName,
    name: answer.name,
    body: answer.body,
    bodyName: bodyName(answer.body),
    bodyRule: answer.bodyRule,
    studies: answer.studies,
    ...(answer.trials === undefined ? {} : { randomisedTrials: answer.trials }),
    shoulders: answer.shoulders,
    events: answer.events ?? null,
    notInNumber: answer.notInNumber.map((each) => ({ ...each, arm: each.arm ?? null })),
    quoted:
      quoted === undefined
        ? null
        : {
            value: quoted.value,
            lower: quoted.lower,
            upper: quoted.upper,
            level: quoted.level,
            unit: answer.unit,
            estimand: quoted.estimand,
            method: quoted.method,
            why: quoted.why,
            coverage: quoted.coverage ?? null,
            prediction: quoted.prediction ?? null,
            relative: quoted.relative ?? null,
          },
    otherMethods: answer.otherMethods.map((other) => ({ ...other, coverage: other.coverage ?? null })),
    risk: risk === undefined ? null : { ...risk, interval: risk.interval ?? null },
    smallestDifferenceThatMatters: answer.material ?? null,
    otherBodies: answer.otherBodies.map(({ trials, relative, notInNumber, ...other }) => ({
      ...other,
      ...(trials === undefined ? {} : { randomisedTrials: trials }),
      events: other.events ?? null,
      quoted: other.quoted ?? null,
      relative: relative ?? null,
      notInNumber: notInNumber.map((each) => ({ ...each, arm: each.arm ?? null })),
      certainty: levels(other.certainty),
    })),
    certainty: levels(certainty),
    verdict: answer.verdict,
    sentence: answer.sentence,
    cautions: answer.cautions,
    rows: answer.rows.map(({ file, line }) => ({ file, line })),
  };
}

export type AnswerRecord = ReturnType<typeof answerRecord>;

const levels = ({ level, proposed, confirmed, body }: Answer['certainty']) => ({
  level: level ?? null,
  proposed: proposed ?? null,
  confirmed,
  body,
});

/**
 * All answers of a review, as `answers.json` holds them: a list in the order of the questions. Each carries the clinical
 * caution, and that its data are invented where they are, for it may be read without the others.
 */
export function answersFile(answers: ReviewAnswers): string {
  const { inventedData, notice } = answers.review.protocol;
  const marks = { notice: inventedData ? (notice ?? 'Invented data.') : null, caution: clinicalCaution };
  return `${JSON.stringify(
    answers.all().map((answer) => ({ ...answerRecord(answer), ...marks })),
    undefined,
    1,
  )}\n`;
}
