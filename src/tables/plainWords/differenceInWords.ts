import type { PeopleBase } from '../../effects/peopleAmong.ts';
import { wholeText } from './aboutInHundred.ts';

/** A difference of two rates (first less second), −1 to 1, with its limits. */
export interface RateDifference {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

/** A difference in words. */
export interface DifferenceInWords {
  /** `about 22 fewer in 100` */
  readonly about: string;
  /** `likely between 13 and 26 fewer`, `anything from 9 fewer to 3 more` */
  readonly likely: string;
}

/**
 * How many more or fewer is that?
 *
 * The difference to the nearest whole person, its limits rounded outwards. Limits on both sides of none are said as
 * such, so that nobody hears a direction that is not there.
 *
 * @param options.shown the difference of two rounded counts that stand beside it, so that the three agree to the reader
 *   who subtracts; used when it is within one person of the exact difference
 * @throws RangeError when a number is not from −1 to 1, or the limits are out of order
 * @example
 * differenceInWords({ value: -0.219, lower: -0.256, upper: -0.126 }, 100)
 * // { about: 'about 22 fewer in 100', likely: 'likely between 12 and 26 fewer' }
 */
export function differenceInWords(
  difference: RateDifference,
  base: PeopleBase,
  options: { readonly shown?: number } = {},
): DifferenceInWords {
  const { value, lower, upper } = difference;
  for (const [name, each] of Object.entries({ value, lower, upper }))
    if (!(each >= -1 && each <= 1)) throw new RangeError(`${name} must be from -1 to 1, received ${each}`);
  if (lower > upper) throw new RangeError(`lower must not lie above upper, received ${lower} and ${upper}`);
  const exact = Math.abs(value) * base;
  const shown = options.shown === undefined ? undefined : Math.abs(options.shown);
  const rounded =
    shown !== undefined && shown > 0 && Math.abs(shown - exact) <= 1 ? shown : Math.round(exact);
  const of = `in ${wholeText(base)}`;
  const way = value < 0 ? 'fewer' : 'more';
  const about =
    value === 0
      ? `no difference ${of}`
      : rounded === 0
        ? `less than 1 ${way} ${of}`
        : `about ${wholeText(rounded)} ${way} ${of}`;
  const [low, high] = [Math.floor(lower * base + 1e-9), Math.ceil(upper * base - 1e-9)];
  if (low < 0 && high > 0)
    return { about, likely: `anything from ${wholeText(-low)} fewer to ${wholeText(high)} more` };
  const [near, far] = high <= 0 ? [-high, -low] : [low, high];
  const side = high <= 0 && !(low === 0 && high === 0) ? 'fewer' : 'more';
  if (far === 0) return { about, likely: 'likely none' };
  if (near === 0) return { about, likely: `likely no more than ${wholeText(far)} ${side}` };
  if (near === far) return { about, likely: `likely very near ${wholeText(far)} ${side}` };
  return { about, likely: `likely between ${wholeText(near)} and ${wholeText(far)} ${side}` };
}
