/** Two limits out of the same number of people, rounded outwards. */
export interface PeopleRange {
  readonly lower: number;
  readonly upper: number;
  /** Out of how many: 100, or as many more as it takes to tell them apart. */
  readonly base: number;
}

/**
 * A range as people count: 2 to 6 in 100, 4 to 14 in 10,000.
 *
 * Out of 100 where the upper limit is at least one in 100 (and the lower at most 99), else out of the first of 1,000, 10,000 … that
 * shows at least five.
 *
 * @example
 * peopleRange({ lower: 0.0004, upper: 0.0014 }) // { lower: 4, upper: 14, base: 10000 }
 */
export function peopleRange(limits: { readonly lower: number; readonly upper: number }): PeopleRange {
  const edge = Math.min(limits.upper, 1 - limits.lower);
  const base = edge >= 0.01 ? 100 : ([1000, 10_000, 100_000].find((each) => edge * each >= 5) ?? 1_000_000);
  return {
    lower: Math.floor(limits.lower * base + 1e-9),
    upper: Math.ceil(limits.upper * base - 1e-9),
    base,
  };
}

/** Whole numbers with a comma between thousands. */
export const withCommas = (count: number): string => String(count).replace(/\B(?=(\d{3})+$)/g, ',');
