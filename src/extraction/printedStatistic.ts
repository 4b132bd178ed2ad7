import type { PrintedNumber } from './printedNumber.ts';
import { readPrintedNumber } from './printedNumber.ts';

/** How a printed statistic relates to its number: `=` for a plain value. */
export const printedRelations = ['=', '<', '>'] as const;
export type PrintedRelation = (typeof printedRelations)[number];

/** A statistic as a paper prints it: `<.001`, `39.1 %`, `7/20`. */
export interface PrintedStatistic extends PrintedNumber {
  readonly relation: PrintedRelation;
  /** The second number of a count printed as `7/20`. */
  readonly denominator?: number;
  /** As printed, in plain form: a decimal point whatever the sheet has, and a nought before it. */
  readonly text: string;
}

/**
 * Which statistic stands in the cell?
 *
 * A plain number with its decimals, a bound (`<0.001`, `> .05`; `≤` and `≥` count as `<` and `>`), or a count with what
 * it was counted out of (`7/20`). A percent sign and a leading `=` may stand beside a number; the nought before the
 * point may be missing, as journals print p values.
 *
 * @returns the statistic, or what to do about the cell
 * @example
 * readPrintedStatistic('<.001') // { relation: '<', value: 0.001, decimals: 3, text: '<0.001' }
 */
export function readPrintedStatistic(
  text: string,
):
  | { readonly statistic: PrintedStatistic; readonly cure?: never }
  | { readonly statistic?: never; readonly cure: string } {
  const fraction = /^(\d{1,9})\s*(?:\/|of)\s*(\d{1,9})$/.exec(text);
  if (fraction !== null) {
    return {
      statistic: {
        relation: '=',
        value: Number(fraction[1]),
        decimals: 0,
        denominator: Number(fraction[2]),
        text: `${Number(fraction[1])}/${Number(fraction[2])}`,
      },
    };
  }
  const bound = /^([<>≤≥=]?)\s*(.*?)\s*%?$/.exec(text);
  const sign = bound?.[1] ?? '';
  const digits = (bound?.[2] ?? text).replace(/^(-|−|–)?[.,](?=\d)/, (start) => `${start.slice(0, -1)}0.`);
  const reading = readPrintedNumber(digits, false);
  if (reading.number === undefined) return { cure: reading.cure };
  const relation = sign === '<' || sign === '≤' ? '<' : sign === '>' || sign === '≥' ? '>' : '=';
  const { value, decimals } = reading.number;
  const plain = `${relation === '=' ? '' : relation}${value.toFixed(decimals)}`;
  return { statistic: { relation, value, decimals, text: plain } };
}
