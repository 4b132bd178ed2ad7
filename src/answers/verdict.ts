import type { CertaintyLevel } from '../certainty/certaintyRating.ts';

/** Words for a difference between two sites: what may be said of the first against the second. */
export const differenceVerdicts = [
  'fewer',
  'not more',
  'no difference that matters',
  'not fewer',
  'more',
] as const;

/** Words for one site's rate. */
export const rateVerdicts = ['about as many', 'at most as many', 'at least as many'] as const;

/** Every word an answer may end in. `not rated` is no verdict: nobody judged how sure one may be. */
export const verdicts = [...differenceVerdicts, ...rateVerdicts, 'cannot be told', 'not rated'] as const;
export type Verdict = (typeof verdicts)[number];

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

interface Limits {
  readonly lower: number;
  readonly upper: number;
}

/** The cuts of a difference: the smallest that matters, either way. */
export const differenceCuts = (material: number): Cuts => ({ lower: -material, upper: material });

/**
 * Which parts does an interval reach?
 *
 * Touching a cut is not reaching beyond it: a difference of exactly the smallest that matters counts as one that matters,
 * so `below` and `above` take the cuts themselves and `between` is what lies strictly inside; with one cut, `below` takes it.
 *
 * @example
 * reachOf({ lower: -12, upper: -3 }, { lower: -5, upper: 5 }) // ['below', 'between']
 */
export function reachOf(interval: Limits | undefined, cuts: Cuts): Reach {
  if (interval === undefined) return undefined;
  const { lower, upper } = interval;
  const single = cuts.lower === cuts.upper;
  return regions.filter((region) => {
    if (region === 'below') return lower <= cuts.lower;
    if (region === 'above') return single ? upper > cuts.upper : upper >= cuts.upper;
    return !single && upper > cuts.lower && lower < cuts.upper;
  });
}

/** What a difference is judged from. */
export interface DifferenceToJudge {
  /** Limits of the difference, first site less second, in the unit of `material`; undefined where there is none. */
  readonly interval: Limits | undefined;
  /** The protocol's smallest difference that matters. */
  readonly material: number;
  /** Undefined where nobody rated it. */
  readonly certainty: CertaintyLevel | undefined;
  /**
   * Lower limit of the risk the difference is said at, in the same unit; undefined where there is no floor (a score).
   * Where it lies below `material`, "not fewer" would be true whatever the site does, and is not said.
   */
  readonly baselineLower?: number | undefined;
}

/**
 * What may be said of one site against another?
 *
 * | the interval reaches, of {fewer, no matter, more} | verdict |
 * |---|---|
 * | fewer | `fewer` |
 * | fewer, no matter | `not more` |
 * | no matter | `no difference that matters` |
 * | no matter, more | `not fewer` |
 * | more | `more` |
 * | all three, or no interval | `cannot be told` |
 *
 * At very low certainty nothing may be said: `cannot be told`. Without a rating: `not rated`. Where the baseline's lower
 * limit lies below the smallest difference that matters, fewer by so much cannot happen: "not fewer" is then true by
 * construction, so `not fewer` becomes `cannot be told` and `no difference that matters` becomes `not more`.
 *
 * The one rule by which pages, documents, talks, the change report and the check of claims speak; the words are ours.
 *
 * @example
 * verdictOnDifference({ interval: { lower: -12, upper: -6 }, material: 5, certainty: 'low' }) // 'fewer'
 */
export function verdictOnDifference({
  interval,
  material,
  certainty,
  baselineLower,
}: DifferenceToJudge): Verdict {
  const reach = reachOf(interval, differenceCuts(material));
  if (reach === undefined || certainty === 'very low') return 'cannot be told';
  if (certainty === undefined) return 'not rated';
  const byConstruction = baselineLower !== undefined && baselineLower < material;
  switch (reach.join(' ')) {
    case 'below':
      return 'fewer';
    case 'below between':
      return 'not more';
    case 'between':
      return byConstruction ? 'not more' : 'no difference that matters';
    case 'between above':
      return byConstruction ? 'cannot be told' : 'not fewer';
    case 'above':
      return 'more';
    default:
      return 'cannot be told';
  }
}

/**
 * What may be said of one site's rate?
 *
 * `about as many` with an interval and a certainty above very low; where no shoulder had the event `at most as many`,
 * where every one had it `at least as many`; at very low certainty or without an interval `cannot be told`; without a
 * rating `not rated`.
 *
 * @example
 * verdictOnRate({ value: 0, lower: 0, upper: 3.7 }, 'low') // 'at most as many'
 */
export function verdictOnRate(
  rate: { readonly value: number; readonly lower: number; readonly upper: number } | undefined,
  certainty: CertaintyLevel | undefined,
): Verdict {
  if (rate === undefined || certainty === 'very low') return 'cannot be told';
  if (certainty === undefined) return 'not rated';
  if (rate.value === 0) return 'at most as many';
  return rate.value === 100 ? 'at least as many' : 'about as many';
}
