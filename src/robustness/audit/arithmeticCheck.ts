import type { PrintedStatistic } from '../../extraction/printedStatistic.ts';

/** What kind of arithmetic a finding is about. */
export const auditKinds = [
  'percentage',
  'denominator',
  'count',
  'p value',
  'ratio',
  'interval',
  'mean',
  'spread',
  'granularity',
  'standard error',
  'people',
] as const;
export type AuditKind = (typeof auditKinds)[number];

/**
 * Answer of one check.
 *
 * - `fits`: some usual way of working it out gives the printed value within its rounding;
 * - `does not fit`: none does. A `contradiction` cannot be right whatever was done; a `question` can, by a way that the
 *   paper would have to name;
 * - `cannot be checked`: what it would need is not there, and why.
 */
export type ArithmeticCheck =
  | { readonly verdict: 'fits'; readonly by: string }
  | {
      readonly verdict: 'does not fit';
      readonly kind: AuditKind;
      readonly strength: 'contradiction' | 'question';
      /** What the counts give, as a sentence. */
      readonly counts: string;
      /** What would make it fit, as sentences; empty where nothing simple does. */
      readonly wouldFit: readonly string[];
    }
  | { readonly verdict: 'cannot be checked'; readonly reason: string };

/** Half a unit in the last printed place. */
export const halfUnit = (printed: Pick<PrintedStatistic, 'decimals'>): number =>
  0.5 * 10 ** -printed.decimals;

/** Binary fractions only: a value exactly on the edge may round either way. */
const edge = 1e-9;

/**
 * Does a value print as this?
 *
 * A plain number within half a unit in its last place, either way of rounding a tie; a bound by lying on its side.
 */
export function printsAs(printed: PrintedStatistic, value: number): boolean {
  const slack = edge * Math.max(1, Math.abs(value));
  if (printed.relation === '<') return value < printed.value + slack;
  if (printed.relation === '>') return value > printed.value - slack;
  return Math.abs(value - printed.value) <= halfUnit(printed) + slack;
}

/** The lowest and highest value that print as this; a bound has only one end. */
export function printedRange(
  printed: PrintedStatistic,
): { readonly lower: number; readonly upper: number } | undefined {
  if (printed.relation !== '=') return undefined;
  const half = halfUnit(printed);
  return { lower: printed.value - half, upper: printed.value + half };
}

/** A value with the decimals of the printed one, and one more where it does not print as that. */
export function likePrinted(printed: PrintedStatistic, value: number): string {
  return value.toFixed(printsAs(printed, value) ? printed.decimals : Math.min(6, printed.decimals + 1));
}

/** A p value as a paper would print it. */
export const pText = (p: number): string => {
  if (p < 0.0001) return '< 0.0001';
  return p < 0.1 ? p.toFixed(4) : p.toFixed(3);
};
