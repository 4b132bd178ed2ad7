import type { AnalysisScale } from '../effects/analysisScale.ts';
import type { Estimate } from '../effects/estimate.ts';
import { naturalValue } from '../effects/naturalValue.ts';
import type { Interval } from '../numerics/interval.ts';
import type { NaturalSummary } from './pooledResult.ts';

/**
 * The number of shoulders the double arcsine is turned back with: the harmonic mean of the arms' totals.
 * Undefined when an estimate does not carry its count.
 *
 * Source: Miller JJ, Am Stat 1978;32:138; on its dangers: Schwarzer G et al., Res Synth Methods 2019;10:476-483.
 */
export function harmonicMeanTotal(estimates: readonly Estimate[]): number | undefined {
  let inverses = 0;
  for (const { count } of estimates) {
    if (!count || !(count.total > 0)) return undefined;
    inverses += 1 / count.total;
  }
  return inverses > 0 ? estimates.length / inverses : undefined;
}

/**
 * What do a mean and its limits mean on the scale a reader knows?
 *
 * Every back-transformation is a rising function, so limits go through it one by one. Rates and their limits
 * are kept within 0 to 1. A ratio too large to be written as a number is left undefined.
 */
export function naturalSummary(
  scale: AnalysisScale,
  mean: number,
  interval: Interval,
  prediction: Interval | undefined,
  harmonicTotal: number | undefined,
): NaturalSummary | undefined {
  if (scale === 'double-arcsine' && harmonicTotal === undefined) return undefined;
  const back = (value: number): number | undefined =>
    naturalValue(value, scale, harmonicTotal === undefined ? {} : { total: harmonicTotal });
  const backInterval = (limits: Interval | undefined): Interval | undefined => {
    if (!limits) return undefined;
    const lower = back(limits.lower);
    const upper = back(limits.upper);
    return lower === undefined || upper === undefined ? undefined : { lower, upper, level: limits.level };
  };
  const value = back(mean);
  if (value === undefined) return undefined;
  return { value, interval: backInterval(interval), prediction: backInterval(prediction) };
}
