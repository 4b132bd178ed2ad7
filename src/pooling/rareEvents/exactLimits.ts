import { chiSquareQuantile } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import { checkLevel } from '../optionChecks.ts';

/**
 * Which rates per unit of time are compatible with these events, with no approximation?
 *
 * `[χ²(tail; 2x)/2, χ²(1 − tail; 2x + 2)/2] / exposure`; for no events the upper limit is
 * `−ln((1 − level)/2) / exposure`.
 *
 * @param exposure time watched, above zero, in any unit: the limits are per that unit
 * @throws RangeError for an impossible count, exposure or level
 *
 * Source: Garwood F, Biometrika 1936;28:437-442.
 *
 * @example
 * exactPoissonInterval(0, 250).upper * 100; // 1.48 per 100 shoulder-years
 */
export function exactPoissonInterval(events: number, exposure: number, level = 0.95): Interval {
  if (!(Number.isInteger(events) && events >= 0)) {
    throw new RangeError(`events must be a whole number of at least 0, received ${events}`);
  }
  if (!(Number.isFinite(exposure) && exposure > 0)) {
    throw new RangeError(`exposure must be a finite number above 0, received ${exposure}`);
  }
  const tail = (1 - checkLevel(level)) / 2;
  return {
    lower: events === 0 ? 0 : chiSquareQuantile(tail, 2 * events) / 2 / exposure,
    upper: (events === 0 ? -Math.log(tail) : chiSquareQuantile(1 - tail, 2 * events + 2) / 2) / exposure,
    level,
  };
}

/**
 * How many shoulders without a single event does it take before a rate is ruled out?
 *
 * The smallest `n` with `(1 − rate)ⁿ ≤ tail`, where the tail is `1 − level` for a one-sided statement (default)
 * and `(1 − level)/2` for the upper end of a two-sided interval.
 *
 * @param rate above 0 and below 1
 * @throws RangeError for a rate, level or side outside its bounds
 *
 * Source: Hanley JA, Lippman-Hand A, JAMA 1983;249:1743-1745.
 *
 * @example
 * shouldersToRuleOut(0.01); // 299
 */
export function shouldersToRuleOut(
  rate: number,
  options: { readonly level?: number; readonly sides?: 1 | 2 } = {},
): number {
  if (!(typeof rate === 'number' && rate > 0 && rate < 1))
    throw new RangeError(`rate must be above 0 and below 1, received ${rate}`);
  const sides = options.sides ?? 1;
  if (sides !== 1 && sides !== 2) throw new RangeError(`sides must be 1 or 2, received ${String(sides)}`);
  const tail = Math.log((1 - checkLevel(options.level ?? 0.95)) / sides);
  const shoulders = Math.ceil(tail / Math.log1p(-rate));
  // The quotient may land a rounding error above a whole number.
  return shoulders > 1 && (shoulders - 1) * Math.log1p(-rate) <= tail ? shoulders - 1 : shoulders;
}
