/**
 * Where a number may lie, as parts of the line that mean different things to a patient: below, within or above the
 * smallest difference that matters, or below and above a bound.
 */
export const regions = ['below', 'between', 'above'] as const;
export type Region = (typeof regions)[number];

/** The parts an interval reaches, in order; undefined where there is no interval. */
export type Reach = readonly Region[] | undefined;

/** A line cut at one or two places. */
export interface Cuts {
  readonly lower: number;
  /** Equal to `lower` for a single bound, which leaves no part between. */
  readonly upper: number;
}

/**
 * Which parts does an interval reach?
 *
 * Touching a cut is not reaching beyond it: a difference of exactly the smallest that matters counts as one that matters,
 * so `below` and `above` take the cuts themselves and `between` is what lies strictly inside; with one cut, `below` takes it.
 */
export function reachOf(
  interval: { readonly lower: number; readonly upper: number } | undefined,
  cuts: Cuts,
): Reach {
  if (interval === undefined) return undefined;
  const { lower, upper } = interval;
  const single = cuts.lower === cuts.upper;
  return regions.filter((region) => {
    if (region === 'below') return lower <= cuts.lower;
    if (region === 'above') return single ? upper > cuts.upper : upper >= cuts.upper;
    return !single && upper > cuts.lower && lower < cuts.upper;
  });
}

/** Does the interval leave every part open, so that nothing can be told? */
export function tellsNothing(reach: Reach, cuts: Cuts): boolean {
  return reach === undefined || reach.length === (cuts.lower === cuts.upper ? 2 : 3);
}

/** Is every part of the one among the parts of the other? */
export const within = (one: readonly Region[], other: readonly Region[]): boolean =>
  one.every((region) => other.includes(region));

export const sameReach = (one: Reach, other: Reach): boolean =>
  one === undefined || other === undefined
    ? one === other
    : one.length === other.length && within(one, other);
