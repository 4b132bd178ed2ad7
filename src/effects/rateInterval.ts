import { betaQuantile, normalQuantile } from '../numerics/distributions.ts';
import type { Interval } from '../numerics/interval.ts';
import { checkCount } from './checkCount.ts';
import type { Count } from './estimate.ts';

export const rateIntervalMethods = ['wilson', 'clopper-pearson', 'jeffreys', 'agresti-coull'] as const;
export type RateIntervalMethod = (typeof rateIntervalMethods)[number];

export interface RateIntervalOptions {
  /** Default `wilson`. */
  readonly method?: RateIntervalMethod;
  /** Coverage, default 0.95. */
  readonly level?: number;
}

/**
 * Which true rates are compatible with this one series?
 *
 * | method | limits | at no events | at nothing but events |
 * |---|---|---|---|
 * | wilson | rates the score test does not reject, \|p̂ − p₀\| = z √(p₀(1−p₀)/n) | lower 0 | upper 1 |
 * | clopper-pearson | rates at which each exact binomial tail is (1−level)/2 | lower 0 | upper 1 |
 * | jeffreys | quantiles of Beta(x+½, n−x+½) | lower 0 | upper 1 |
 * | agresti-coull | Wald around (x+z²/2)/(n+z²), kept within 0 to 1 | lower 0 | upper 1 |
 *
 * The intervals stay two-sided at no events and at nothing but events: the other limit is the one at (1−level)/2.
 *
 * @returns limits from 0 to 1
 * @throws RangeError for an impossible count, an unknown method or a level outside (0, 1)
 * @see Wilson EB. J Am Stat Assoc 1927;22:209-212. Clopper CJ, Pearson ES. Biometrika 1934;26:404-413. Brown LD, Cai
 *   TT, DasGupta A. Stat Sci 2001;16:101-133, sections 3.1.1 (Wilson), 3.1.2 (Agresti-Coull) and 3.1.3 (Jeffreys, with
 *   the ends set to 0 and 1).
 * @example
 * rateInterval({ events: 0, total: 23 }, { method: 'clopper-pearson' }) // 0 to 0.148
 */
export function rateInterval(count: Count, options: RateIntervalOptions = {}): Interval {
  const method = options.method ?? 'wilson';
  const level = options.level ?? 0.95;
  checkCount(count);
  if (!(typeof level === 'number' && level > 0 && level < 1)) {
    throw new RangeError(`level must lie between 0 and 1, such as 0.95, received ${level}`);
  }
  const { events, total } = count;
  const [lower, upper] = limits(method, events, total, level);
  // The ends are set, not computed: rounding must not make 1e-17 of a limit that is 0.
  return {
    lower: events === 0 ? 0 : Math.max(0, lower),
    upper: events === total ? 1 : Math.min(1, upper),
    level,
  };
}

function limits(method: RateIntervalMethod, events: number, total: number, level: number): [number, number] {
  const tail = (1 - level) / 2;
  const rest = total - events;
  switch (method) {
    case 'wilson': {
      const z = -normalQuantile(tail);
      const square = z * z;
      const root = z * Math.sqrt(square + (4 * events * rest) / total);
      const lower = (2 * events + square - root) / (2 * (total + square));
      // For few events the difference above loses digits; the product of both limits does not.
      const upper = (2 * events + square + root) / (2 * (total + square));
      return [events > 0 ? (events * events) / total / (total + square) / upper : lower, upper];
    }
    case 'clopper-pearson':
      return [
        events === 0 ? 0 : betaQuantile(tail, events, rest + 1),
        rest === 0 ? 1 : 1 - betaQuantile(tail, rest, events + 1),
      ];
    case 'jeffreys':
      return [betaQuantile(tail, events + 0.5, rest + 0.5), 1 - betaQuantile(tail, rest + 0.5, events + 0.5)];
    case 'agresti-coull': {
      const z = -normalQuantile(tail);
      const size = total + z * z;
      const centre = (events + (z * z) / 2) / size;
      const margin = z * Math.sqrt((centre * (1 - centre)) / size);
      return [centre - margin, centre + margin];
    }
    default:
      throw new RangeError(
        `method must be one of ${rateIntervalMethods.join(', ')}; received ${String(method)}`,
      );
  }
}
