import { answersTo } from '../../extraction/sheets/judgementsSheet.ts';
import type { InstrumentJudgement } from './studyQuality.ts';

/** The sum of an instrument that adds up, with what it rests on. */
export interface JudgedSum {
  /** Points of the items somebody judged. */
  readonly points: number;
  /** The most those items allow. */
  readonly judgedMaximum: number;
  /** The sum if the items nobody judged earned all they can; equal to `points` when all are judged. */
  readonly most: number;
  /** The most all items asked allow. */
  readonly maximum: number;
  readonly unjudged: number;
  readonly items: number;
}

/**
 * What does the sum of an instrument rest on, where items may not be judged?
 *
 * An item nobody judged is not 0: it leaves a range, from nothing to all it can earn.
 *
 * @returns undefined for an instrument that does not add up
 * @example
 * judgedSum(judgement) // { points: 8, judgedMaximum: 16, most: 16, maximum: 24, unjudged: 4, items: 12 }
 */
export function judgedSum({
  instrument,
  items,
  sum,
}: Pick<InstrumentJudgement, 'instrument' | 'items' | 'sum'>): JudgedSum | undefined {
  if (sum === undefined) return undefined;
  const open = items.filter(({ answer }) => answer === undefined);
  const left = open.reduce((all, { item }) => all + Math.max(...answersTo(instrument, item).map(Number)), 0);
  const points = items.reduce((all, { answer }) => all + Number(answer ?? 0), 0);
  return {
    points,
    judgedMaximum: sum.maximum - left,
    most: points + left,
    maximum: sum.maximum,
    unjudged: open.length,
    items: items.length,
  };
}

/**
 * A sum as printed: `17 of 24`, and where items are not judged what was judged and what that leaves possible.
 *
 * @example
 * sumInWords(judgement) // '8 of 16 on the items judged; 4 of 12 items not judged, so 8 to 16 of 24'
 */
export function sumInWords(judgement: Pick<InstrumentJudgement, 'instrument' | 'items' | 'sum'>): string {
  const sum = judgedSum(judgement);
  if (sum === undefined) return '';
  const { points, judgedMaximum, most, maximum, unjudged, items } = sum;
  if (unjudged === 0) return `${points} of ${maximum}`;
  if (unjudged === items) return `none of ${items} items judged`;
  return `${points} of ${judgedMaximum} on the items judged; ${unjudged} of ${items} items not judged, so ${points} to ${most} of ${maximum}`;
}
