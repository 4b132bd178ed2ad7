import type { PrintedNumber } from './printedNumber.ts';

/**
 * Which whole counts, out of a total, print as this percentage?
 *
 * All `k` with `|100 k / total − percentage|` at most half a unit in the last printed place, so
 * that either way of rounding a tie is allowed.
 *
 * @example
 * wholeCountsFor({ value: 10.5, decimals: 1 }, 38) // [4]
 */
export function wholeCountsFor(percentage: PrintedNumber, total: number): readonly number[] {
  const half = 0.5 * 10 ** -percentage.decimals;
  // The slack covers the rounding of the two divisions, nothing more.
  const slack = 1e-9;
  const lowest = Math.max(0, Math.ceil(((percentage.value - half) * total) / 100 - slack));
  const highest = Math.min(total, Math.floor(((percentage.value + half) * total) / 100 + slack));
  return Array.from({ length: Math.max(0, highest - lowest + 1) }, (_, index) => lowest + index);
}
