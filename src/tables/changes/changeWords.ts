import type { Answer } from '../../certainty/changes/answer.ts';
import type { AnswerChange } from '../../certainty/changes/changeReport.ts';
import { hundredText } from '../../certainty/perHundred.ts';

/** A difference in words without a minus sign: `8.3 fewer`. */
function moreOrFewer(value: number): string {
  const text = hundredText(Math.abs(value));
  return text === '0' ? 'no difference' : `${text} ${value < 0 ? 'fewer' : 'more'}`;
}

/** An answer for a cell: `4.3 (3.1 to 6.0)`, `8.3 fewer (12 fewer to 5.7 more)`, or why there is none. */
export function answerCell(answer: Answer | undefined): string {
  if (answer === undefined) return 'not asked';
  const { value, lower, upper, question } = answer;
  if (value === undefined || lower === undefined || upper === undefined)
    return answer.studies === 0 ? 'no study' : 'no answer';
  if (question.kind !== 'difference')
    return `${hundredText(value)} (${hundredText(lower)} to ${hundredText(upper)})`;
  const oneWay = lower * upper > 0 && hundredText(lower) !== '0' && hundredText(upper) !== '0';
  if (!oneWay) return `${moreOrFewer(value)} (${moreOrFewer(lower)} to ${moreOrFewer(upper)})`;
  // Both limits on one side: the word once.
  return `${moreOrFewer(value)} (${hundredText(Math.abs(lower))} to ${hundredText(Math.abs(upper))})`;
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
