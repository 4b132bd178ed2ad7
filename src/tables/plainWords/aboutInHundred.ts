import { type PeopleBase, peopleAmong, peopleBaseFor } from '../../effects/peopleAmong.ts';

interface Limits {
  readonly lower: number;
  readonly upper: number;
}

/** A rate in the words of a talk, whole and in parts. */
export interface PlainRate {
  readonly base: PeopleBase;
  /** `about 5 in 100` */
  readonly about: string;
  /** `likely between 2 and 11`; undefined without an interval. */
  readonly likely: string | undefined;
  /** `the next hospital could see 1 to 24`; undefined without a prediction. */
  readonly next: string | undefined;
  /** All parts as one sentence. */
  readonly sentence: string;
}

/** Whole numbers with a comma between thousands. */
export const wholeText = (count: number): string => String(count).replace(/\B(?=(\d{3})+$)/g, ',');

/** First letter large; the rest as it is. */
export const startLarge = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/**
 * How often is that, in words a room understands?
 *
 * The rate to the nearest whole person in 100 (in 1,000 below 2 in 100), never "0" for a rate above none; limits
 * rounded outwards, so that they never look narrower than they are. A limit that rounds to none or to all is left
 * unsaid: "likely no more than 3".
 *
 * @param rate 0 to 1
 * @param interval limits of the mean, 0 to 1
 * @param prediction limits for a new study, 0 to 1
 * @param options.base say it out of so many; default {@link peopleBaseFor}
 * @throws RangeError when a number is not from 0 to 1, or limits are out of order
 *
 * @example
 * aboutInHundred(0.048, { lower: 0.021, upper: 0.109 }, { lower: 0.012, upper: 0.236 }).sentence
 * // 'About 5 in 100, likely between 2 and 11; the next hospital could see 1 to 24.'
 */
export function aboutInHundred(
  rate: number,
  interval?: Limits,
  prediction?: Limits,
  options: { readonly base?: PeopleBase } = {},
): PlainRate {
  const base = options.base ?? peopleBaseFor([rate]);
  const about = aboutText(rate, base);
  const likely = interval && likelyText(interval, base);
  const next = prediction && `the next hospital could see ${nextText(prediction, base)}`;
  return {
    base,
    about,
    likely,
    next,
    sentence: `${startLarge(about)}${likely === undefined ? '' : `, ${likely}`}${next === undefined ? '' : `; ${next}`}.`,
  };
}

function aboutText(rate: number, base: PeopleBase): string {
  const { about } = peopleAmong(rate, undefined, base);
  const of = `in ${wholeText(base)}`;
  if (rate === 0) return `none ${of}`;
  if (rate === 1) return `all ${of}`;
  if (about === 0) return `fewer than 1 ${of}`;
  if (about === base) return `more than ${wholeText(base - 1)} ${of}`;
  return `about ${wholeText(about)} ${of}`;
}

const outwards = (limits: Limits, base: PeopleBase): Limits => {
  const { lower = 0, upper = base } = peopleAmong(limits.lower, limits, base);
  return { lower, upper };
};

function likelyText(limits: Limits, base: PeopleBase): string {
  const { lower, upper } = outwards(limits, base);
  if (lower === 0 && upper === base) return 'anything from none to all of them';
  if (lower === 0) return `likely no more than ${wholeText(upper)}`;
  if (upper === base) return `likely at least ${wholeText(lower)}`;
  if (lower === upper) return `likely very near ${wholeText(lower)}`;
  return `likely between ${wholeText(lower)} and ${wholeText(upper)}`;
}

/** A range as a count of people: `1 to 24`, `none to 24`, `40 or more`. */
export function nextText(limits: Limits, base: PeopleBase): string {
  const { lower, upper } = outwards(limits, base);
  if (lower === 0 && upper === base) return 'anything from none to all';
  if (lower === 0) return `up to ${wholeText(upper)}`;
  if (upper === base) return `${wholeText(lower)} or more`;
  return lower === upper ? wholeText(lower) : `${wholeText(lower)} to ${wholeText(upper)}`;
}
