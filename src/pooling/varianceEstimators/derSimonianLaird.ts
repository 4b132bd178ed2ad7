import { type PooledSample, type WeightedMean, weightedMean } from '../pooledSample.ts';
import type { VarianceEstimatorMethod } from '../varianceEstimatorMethods.ts';

/**
 * How much do true values vary between studies, by the method of moments?
 *
 * `τ² = max(0, (Q - (k - 1)) / (Σ w - Σ w² / Σ w))` with `w = 1 / v`.
 *
 * Source: DerSimonian R, Laird N, Control Clin Trials 1986;7:177-188, section 3, equation 8.
 */
export const derSimonianLaird: VarianceEstimatorMethod = {
  id: 'dersimonian-laird',
  name: 'DerSimonian-Laird method of moments',
  source: 'DerSimonian R, Laird N. Control Clin Trials 1986;7:177-188',
  estimate(sample, common) {
    const excess = common.q - (sample.count - 1);
    return { value: excess > 0 ? excess / momentScale(sample, common) : 0 };
  },
};

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

/** The estimate from values and variances alone, for use outside a pool. */
export function derSimonianLairdVariance(sample: PooledSample): number {
  return derSimonianLaird.estimate(sample, weightedMean(sample, 0)).value;
}
