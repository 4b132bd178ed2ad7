/** Which way a number may be rounded so that the words never claim more than the number. */
export type Rounding = 'up' | 'down' | 'nearest';

/**
 * A rate as people count: `9 in 100`, `4 in 1,000`.
 *
 * Out of 100 where that gives at least one (or at most 99), else out of 1,000, 10,000, up to a million. An upper limit is rounded up and
 * a lower one down, so that rounding never makes a range look narrower than it is.
 *
 * @param rate 0 to 1
 * @example
 * inHundred(0.0881, 'up') // '9 in 100'
 */
export function inHundred(rate: number, rounding: Rounding = 'nearest'): string {
  if (!(rate >= 0 && rate <= 1)) throw new RangeError(`rate must be from 0 to 1, received ${rate}`);
  if (rate === 0) return '0 in 100';
  if (rate === 1) return '100 in 100';
  for (const base of [100, 1000, 10_000, 100_000, 1_000_000]) {
    // A hair of tolerance, so that 5 in 100 does not become 6 for its last binary digit.
    const count =
      rounding === 'up'
        ? Math.ceil(rate * base - 1e-9)
        : rounding === 'down'
          ? Math.floor(rate * base + 1e-9)
          : Math.round(rate * base);
    if (rate * base >= 1 && (1 - rate) * base >= 1) return `${withCommas(count)} in ${withCommas(base)}`;
  }
  return rate < 0.5 ? 'under 1 in 1,000,000' : 'over 999,999 in 1,000,000';
}

/** Whole numbers with a comma between thousands. */
export const withCommas = (count: number): string => String(count).replace(/\B(?=(\d{3})+$)/g, ',');
