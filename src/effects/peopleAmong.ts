/** Out of how many people a rate is said: 100, or 1,000 where a whole number in 100 would be too coarse. */
export const peopleBases = [100, 1000] as const;
export type PeopleBase = (typeof peopleBases)[number];

/** Below this rate (and above its mirror image) a whole number in 100 could be off by a quarter or more. */
const coarseBelow = 0.02;

/** A rate and its limits as whole people among `base`. */
export interface PeopleAmong {
  readonly base: PeopleBase;
  /** Rounded to the nearest whole person: 0 may stand for a small rate and must then not be said as none. */
  readonly about: number;
  /** Rounded outwards, so that the range never looks narrower than it is; undefined without an interval. */
  readonly lower: number | undefined;
  readonly upper: number | undefined;
}

/**
 * Out of how many people should these rates be said, so that all of them share one base?
 *
 * 1,000 when any rate that is neither none nor all lies below 2 in 100 or above 98 in 100, else 100. Rates said side
 * by side keep one base, because people compare the first numbers and overlook the second.
 *
 * @example
 * peopleBaseFor([0.18, 0.004]) // 1000
 */
export function peopleBaseFor(rates: readonly number[]): PeopleBase {
  const coarse = (rate: number): boolean =>
    rate > 0 && rate < 1 && (rate < coarseBelow || 1 - rate < coarseBelow);
  return rates.some(coarse) ? 1000 : 100;
}

/**
 * How many people is that?
 *
 * The rate to the nearest whole person, its limits rounded outwards (down below, up above; a hair of floating-point
 * error is forgiven).
 *
 * @param rate 0 to 1
 * @throws RangeError when a number is not from 0 to 1, or the limits are out of order
 * @example
 * peopleAmong(0.048, { lower: 0.021, upper: 0.109 }) // { base: 100, about: 5, lower: 2, upper: 11 }
 */
export function peopleAmong(
  rate: number,
  interval?: { readonly lower: number; readonly upper: number },
  base: PeopleBase = peopleBaseFor([rate]),
): PeopleAmong {
  requireProportion('rate', rate);
  if (!peopleBases.includes(base))
    throw new RangeError(`base must be one of ${peopleBases.join(', ')}, received ${base}`);
  const about = Math.round(rate * base);
  if (interval === undefined) return { base, about, lower: undefined, upper: undefined };
  requireProportion('lower', interval.lower);
  requireProportion('upper', interval.upper);
  if (interval.lower > interval.upper)
    throw new RangeError(`lower must not lie above upper, received ${interval.lower} and ${interval.upper}`);
  return {
    base,
    about,
    lower: Math.floor(interval.lower * base + 1e-9),
    upper: Math.ceil(interval.upper * base - 1e-9),
  };
}

function requireProportion(name: string, value: number): void {
  if (!(typeof value === 'number' && value >= 0 && value <= 1))
    throw new RangeError(`${name} must be from 0 to 1, received ${value}`);
}
