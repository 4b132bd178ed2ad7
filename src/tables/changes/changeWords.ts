import { printLimits, printValue } from '../../answers/printAnswer.ts';
import { mixtureNote } from '../../certainty/bodyInWords.ts';
import type { AnswerTold } from '../../changes/answerTold.ts';
import type { AnswerChange } from '../../changes/changeReport.ts';
import { markAnswer } from '../../wording/answerMark.ts';

/**
 * An answer for a cell: `4.3 (3.1 to 6.0)`, `8.3 fewer (12 fewer to 5.7 more)`, or why there is none.
 *
 * @param mark whether the text carries the answer's id; only the review's own answers of today do
 */
export function answerCell(answer: AnswerTold | undefined, mark = false): string {
  if (answer === undefined) return 'not asked';
  const { value, lower, upper, question, key, body } = answer;
  if (value === undefined || lower === undefined || upper === undefined)
    return answer.studies === 0 ? 'no study' : 'no answer';
  const printed = { question, quoted: { value, lower, upper } };
  return `${markAnswer(mark ? key : undefined, `${printValue(printed)} (${printLimits(printed)})`)}${mixtureNote(body)}`;
}

/** The earlier answer as it was printed then, where the earlier file was given; else as it is worked out today. */
export function printedBefore(change: AnswerChange | undefined): AnswerTold | undefined {
  const { before, saved } = change ?? {};
  return before === undefined || saved === undefined ? before : { ...before, ...saved };
}

/** Part of a change with its sign; `0` for a part that rounds to nothing at these decimals. */
export function signedCell(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  if (Number(text) === 0) return '0';
  return `${value < 0 ? '\u2212' : '+'}${text}`;
}

/** Did the number move at all? */
export function hasMoved({ before, after, split }: AnswerChange): boolean {
  return before?.value !== after?.value || (split !== undefined && split.total !== 0);
}

export const levelText = (level: string | undefined): string => level ?? 'not rated';

/** `low`, or `low, before moderate`. */
export const certaintyCell = (before: string | undefined, after: string | undefined): string =>
  before === after ? levelText(after) : `${levelText(after)} (before: ${levelText(before)})`;
