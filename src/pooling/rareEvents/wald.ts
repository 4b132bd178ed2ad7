import { normalQuantile, normalUpperTail } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';

/** Normal interval and two-sided p-value of a value with its standard error (scale without limits). */
export function wald(
  value: number,
  standardError: number,
  level: number,
): { readonly interval: Interval; readonly pValue: number } {
  const margin = -normalQuantile((1 - level) / 2) * standardError;
  return {
    interval: { lower: value - margin, upper: value + margin, level },
    pValue: 2 * normalUpperTail(Math.abs(value / standardError)),
  };
}
