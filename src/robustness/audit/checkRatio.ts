import type { Count } from '../../effects/estimate.ts';
import type { PrintedStatistic } from '../../extraction/printedStatistic.ts';
import { type ArithmeticCheck, likePrinted, printsAs } from './arithmeticCheck.ts';

export const auditedMeasures = ['odds ratio', 'risk ratio', 'risk difference'] as const;
export type AuditedMeasure = (typeof auditedMeasures)[number];

/** A measure of two arms, or undefined where a zero leaves no finite value. */
function measureOf(measure: AuditedMeasure, one: Count, other: Count): number | undefined {
  const [p, q] = [one.events / one.total, other.events / other.total];
  const value =
    measure === 'risk difference' ? p - q : measure === 'risk ratio' ? p / q : p / (1 - p) / (q / (1 - q));
  return Number.isFinite(value) && (measure === 'risk difference' || value > 0) ? value : undefined;
}

/**
 * Do these counts give the printed ratio or difference?
 *
 * The first arm on top. A difference may be printed in points of per cent or as a fraction. As explanations: the other arm on
 * top, half an event added to each cell, the other kind of ratio, the two denominators exchanged.
 *
 * @example
 * checkRatio('odds ratio', printed, { events: 15, total: 45 }, { events: 4, total: 42 })
 */
export function checkRatio(
  measure: AuditedMeasure,
  printed: PrintedStatistic,
  one: Count,
  other: Count,
): ArithmeticCheck {
  const fits = (value: number | undefined): boolean =>
    value !== undefined &&
    (printsAs(printed, value) || (measure === 'risk difference' && printsAs(printed, 100 * value)));
  const value = measureOf(measure, one, other);
  if (fits(value)) return { verdict: 'fits', by: `the ${measure} of the counts` };
  const halves = (count: Count): Count => ({ events: count.events + 0.5, total: count.total + 1 });
  const wouldFit: string[] = [];
  if (fits(measureOf(measure, other, one)))
    wouldFit.push('It fits with the other arm on top: which arm is compared with which?');
  if (fits(measureOf(measure, halves(one), halves(other))))
    wouldFit.push('It fits with half an event added to each cell.');
  if (fits(measureOf(measure, halves(other), halves(one))))
    wouldFit.push('It fits with half an event added to each cell and the other arm on top.');
  if (measure !== 'risk difference') {
    const kind = measure === 'odds ratio' ? 'risk ratio' : 'odds ratio';
    if (fits(measureOf(kind, one, other))) wouldFit.push(`It is the ${kind} of the counts.`);
    if (fits(measureOf(kind, other, one))) wouldFit.push(`It is the ${kind} with the other arm on top.`);
  }
  if (one.total !== other.total && one.events <= other.total && other.events <= one.total) {
    const [a, b] = [
      { events: one.events, total: other.total },
      { events: other.events, total: one.total },
    ];
    if (fits(measureOf(measure, a, b))) wouldFit.push('It fits with the two denominators exchanged.');
  }
  if (value === undefined && wouldFit.length === 0) {
    return {
      verdict: 'cannot be checked',
      reason: `A zero leaves the ${measure} of the counts without a finite value.`,
    };
  }
  const counts = `${one.events} of ${one.total} against ${other.events} of ${other.total}`;
  return {
    verdict: 'does not fit',
    kind: 'ratio',
    // An adjusted ratio need not be that of the counts, and the row may not say that it is one.
    strength: 'question',
    counts:
      value === undefined
        ? `${counts} has no finite ${measure}.`
        : `${counts} gives ${measure === 'risk difference' ? 'a' : 'an unadjusted'} ${measure} of ${likePrinted(printed, inUnitsOf(measure, printed, value))}.`,
    wouldFit,
  };
}

/** A difference in points of per cent where it was printed so. */
const inUnitsOf = (measure: AuditedMeasure, printed: PrintedStatistic, value: number): number =>
  measure === 'risk difference' && Math.abs(printed.value) > 1 ? 100 * value : value;
