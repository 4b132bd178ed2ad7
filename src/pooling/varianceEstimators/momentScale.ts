import type { PooledSample, WeightedMean } from '../pooledSample.ts';

/**
 * `Σ w - Σ w² / Σ w`, written as `Σ w (Σ w - w) / Σ w`. For the heaviest study the bracket is summed over the
 * others instead of subtracted, since a study that outweighs the rest a billion times would leave only rounding.
 */
export function momentScale(sample: PooledSample, common: WeightedMean): number {
  const { count, variances, mostPrecise } = sample;
  const { weightSum, squareSum } = common;
  // No weight near the whole: the plain difference keeps its digits.
  if (1 / variances[mostPrecise]! < 0.5 * weightSum) return weightSum - squareSum / weightSum;
  let others = 0;
  let scale = 0;
  for (let i = 0; i < count; i++) {
    if (i === mostPrecise) continue;
    const weight = 1 / variances[i]!;
    others += weight;
    scale += weight * (weightSum - weight);
  }
  return (scale + others / variances[mostPrecise]!) / weightSum;
}
