import type { Count } from '../effects/estimate.ts';
import { normalQuantile } from '../numerics/distributions.ts';
import type { Interval } from '../numerics/interval.ts';

/** Wilson's score interval (Newcombe 1998, Statistics in Medicine 17:857, method 3). */
export function wilsonInterval({ events, total }: Count, level: number): Interval {
  const z = normalQuantile(0.5 + level / 2);
  const rate = events / total;
  const middle = (rate + (z * z) / (2 * total)) / (1 + (z * z) / total);
  const half = (z * Math.sqrt((rate * (1 - rate)) / total + (z / (2 * total)) ** 2)) / (1 + (z * z) / total);
  return {
    lower: events === 0 ? 0 : Math.max(0, middle - half),
    upper: events === total ? 1 : Math.min(1, middle + half),
    level,
  };
}
