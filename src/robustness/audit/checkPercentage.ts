import type { PrintedStatistic } from '../../extraction/printedStatistic.ts';
import { wholeCountsFor } from '../../extraction/wholeCounts.ts';
import { type ArithmeticCheck, likePrinted, printsAs } from './arithmeticCheck.ts';

/** What is known beside a percentage. */
export interface PercentageContext {
  /** Events, where the count is known. */
  readonly events?: number;
  readonly total: number;
  /** Totals of the other arms by name, in case a denominator was swapped. */
  readonly otherTotals?: readonly { readonly name: string; readonly total: number }[];
}

/**
 * Does a whole count, and the one typed, print as this percentage?
 *
 * Without a count: whether any whole number of the total does, and if not, the nearest total of which one does.
 * With a count: whether it does; if not, which counts and which denominators would.
 *
 * @example
 * checkPercentage({ relation: '=', value: 58.9, decimals: 1, text: '58.9' }, { total: 91 }) // 53 of 90 would fit
 */
export function checkPercentage(printed: PrintedStatistic, context: PercentageContext): ArithmeticCheck {
  const { events, total, otherTotals = [] } = context;
  if (total === 0) return { verdict: 'cannot be checked', reason: 'The denominator is 0.' };
  if (events !== undefined && printsAs(printed, (100 * events) / total))
    return { verdict: 'fits', by: `${events} of ${total}` };
  if (printed.relation !== '=') {
    if (events === undefined)
      return { verdict: 'cannot be checked', reason: 'A bound without a count can be checked by nothing.' };
    return {
      verdict: 'does not fit',
      kind: 'percentage',
      strength: 'contradiction',
      counts: `${events} of ${total} is ${likePrinted(printed, (100 * events) / total)} %.`,
      wouldFit: [],
    };
  }
  const fitting = printed.value > 100 ? [] : wholeCountsFor(printed, total);
  if (events === undefined && fitting.length > 0)
    return { verdict: 'fits', by: `${listSome(fitting)} of ${total}` };
  const wouldFit: string[] = [];
  if (events !== undefined) {
    for (const { name, total: other } of otherTotals)
      if (other !== total && other >= events && printsAs(printed, (100 * events) / other))
        wouldFit.push(
          `${events} of ${other}, the total of ${name}, would fit: the denominators may be swapped.`,
        );
    if (fitting.length > 0) wouldFit.push(`${listSome(fitting)} of ${total} would fit.`);
    const totals = totalsNear(total).filter(
      (each) => each >= events && printsAs(printed, (100 * events) / each),
    );
    if (totals[0] !== undefined && wouldFit.length < 2) wouldFit.push(`${events} of ${totals[0]} would fit.`);
  } else {
    const near = totalsNear(total).find((each) => wholeCountsFor(printed, each).length > 0);
    if (near !== undefined)
      wouldFit.push(
        `${listSome(wholeCountsFor(printed, near))} of ${near} would fit, the nearest total of which a whole number does.`,
      );
  }
  const swapped = wouldFit.some((each) => each.includes('swapped'));
  return {
    verdict: 'does not fit',
    kind: swapped ? 'denominator' : 'percentage',
    strength: 'contradiction',
    counts:
      events === undefined
        ? `No whole number of ${total} is ${printed.value.toFixed(printed.decimals)} %: ${neighbours(printed, total)}.`
        : `${events} of ${total} is ${likePrinted(printed, (100 * events) / total)} %.`,
    wouldFit,
  };
}

/** Totals by distance, smaller first: shoulders are lost more often than found. Up to a quarter away. */
function totalsNear(total: number): readonly number[] {
  const reach = Math.max(2, Math.floor(total / 4));
  return Array.from({ length: reach }, (_, at) => [total - at - 1, total + at + 1])
    .flat()
    .filter((each) => each > 0);
}

function neighbours(printed: PrintedStatistic, total: number): string {
  const below = Math.min(total, Math.floor((printed.value * total) / 100));
  const text = (count: number): string => `${count} is ${likePrinted(printed, (100 * count) / total)} %`;
  return below < total ? `${text(below)} and ${text(below + 1)}` : text(below);
}

const listSome = (counts: readonly number[]): string =>
  counts.length > 3 ? `${counts[0]} to ${counts.at(-1)}` : counts.join(' or ');
