import type { CertaintyRating } from '../certainty/certaintyRating.ts';
import { differenceInHundred, rateInHundred } from '../certainty/perHundred.ts';
import type { AbsoluteEffect } from '../effects/absoluteEffect.ts';
import { markAnswer } from '../wording/answerMark.ts';
import { pointsDigits, rateDigits, ratioDigits, sizeDigits } from '../wording/numbers.ts';
import type { Answer, Limits } from './answer.ts';

interface Printed {
  readonly question: Answer['question'];
  readonly quoted: (Limits & { readonly value: number }) | undefined;
}

/** "7.9 fewer", "no difference", "2.1 more". */
const inWords = (value: number): string =>
  value === 0 ? 'no difference' : `${sizeDigits(value)} ${value < 0 ? 'fewer' : 'more'}`;

const digitsOf = ({ kind }: Answer['question']): ((value: number) => string) =>
  kind === 'rate'
    ? (value) => rateDigits(Math.min(100, Math.max(0, value)))
    : kind === 'comparison'
      ? inWords
      : pointsDigits;

/**
 * The value of an answer as every product prints it, rounded once: `5.6`, `7.9 fewer`, `2.1`.
 *
 * @returns undefined where the answer has no number
 */
export const printValue = ({ question, quoted }: Printed): string | undefined =>
  quoted === undefined ? undefined : digitsOf(question)(quoted.value);

/** The limits of an answer's interval by the same rule: `2.3 to 13`, `13 fewer to 2 more`. */
export const printLimits = (
  { question, quoted }: Printed,
  limits: Limits | undefined = quoted,
): string | undefined =>
  limits === undefined
    ? undefined
    : `${digitsOf(question)(limits.lower)} to ${digitsOf(question)(limits.upper)}`;

/**
 * An answer's number with its interval, carrying the answer's id: `5.6 in 100 (2.3 to 13)`.
 *
 * @param mark whether the text carries the id, default true; an answer under departures from the protocol never does
 * @returns undefined where the answer has no number
 * @example
 * withoutAnswerMarks(printAnswer(answer)!) // '7.9 fewer in 100 (13 fewer to 2.1 fewer)'
 */
export function printAnswer(
  answer: Pick<Answer, 'question' | 'quoted' | 'id' | 'asPlanned'>,
  mark = true,
): string | undefined {
  const value = printValue(answer);
  if (value === undefined) return undefined;
  const { kind } = answer.question;
  const unit = kind === 'rate' || kind === 'comparison' ? ' in 100' : ' points';
  const text = `${value}${unit} (${printLimits(answer)})`;
  return mark && answer.asPlanned ? markAnswer(answer.id, text) : text;
}

/**
 * A sentence about one rating, with every place where it repeats the rating's own number marked with the answer's id.
 */
export function markNumberOf(
  { answer, body, question }: Pick<CertaintyRating, 'answer' | 'body' | 'question'>,
  sentence: string,
): string {
  const ratio = body.absolute[0] && ratioOfRisks(body.absolute[0]);
  const marked = markQuoted({ answer, question, quoted: body.estimate }, sentence);
  return answer === undefined || ratio === undefined
    ? marked
    : marked.replaceAll(ratio, () => markAnswer(answer, ratio));
}

/** The same from the answer's own number. */
export function markQuoted(
  { answer, question, quoted }: Printed & { readonly answer: string | undefined },
  sentence: string,
): string {
  if (answer === undefined || quoted === undefined) return sentence;
  const printed = question.kind === 'rate' ? rateInHundred(quoted) : differenceInHundred(quoted);
  return sentence.replaceAll(printed, () => markAnswer(answer, printed));
}

const ratioOfRisks = ({ atThatRisk: { risk }, baselineRisk }: AbsoluteEffect): string => {
  const [value, lower, upper] = [risk.value, risk.lower, risk.upper].map((each) =>
    ratioDigits(each / baselineRisk),
  );
  return `${value} (${lower} to ${upper})`;
};

const numbersInSentence =
  /(?:(?:[<>]?[\d.,]+ (?:fewer|more)|[Nn]o difference|[<>]?[\d.,]+) in 100|None seen in [\d,]+|[\u2212\d.]+ points) \([^()]*\)/;

/**
 * The sentence of an answer, its number marked with the answer's id.
 *
 * @example
 * withoutAnswerMarks(markedSentence(rating)) === rating.sentence // true
 */
export function markedSentence({
  sentence,
  answer,
}: {
  readonly sentence: string;
  readonly answer?: string;
}): string {
  return sentence.replace(numbersInSentence, (numbers) => markAnswer(answer, numbers));
}
