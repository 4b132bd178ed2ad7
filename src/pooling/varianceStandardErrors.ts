import type { PooledSample, WeightedMean } from './pooledSample.ts';
import { momentScale } from './varianceEstimators/momentScale.ts';
import { varianceLikelihood } from './varianceLikelihood.ts';

/**
 * How far does Cochran's Q spread around its expectation, if the between-study variance were so much?
 *
 * `Var Q = 2(k - 1) + 4 τ² (S₁ - S₂/S₁) + 2 τ⁴ (S₂ - 2 S₃/S₁ + S₂²/S₁²)`, `Sᵣ = Σ v⁻ʳ`: exact for normal values with
 * known sampling variances. The last bracket is summed over the squares of its quadratic form, from shares of the
 * weight, so that a study that outweighs the rest leaves more than rounding.
 *
 * Source: Biggerstaff BJ, Tweedie RL, Stat Med 1997;16:753-768, section 2.
 */
export function varianceOfCochranQ(
  sample: PooledSample,
  common: WeightedMean,
  betweenStudyVariance: number,
): number {
  const { count, variances, mostPrecise } = sample;
  const { weightSum } = common;
  let others = 0;
  for (let i = 0; i < count; i++) if (i !== mostPrecise) others += 1 / variances[i]!;
  let own = 0;
  let squares = 0;
  let pairs = 0;
  for (let i = 0; i < count; i++) {
    const share = 1 / variances[i]! / weightSum;
    const rest = i === mostPrecise ? others / weightSum : 1 - share;
    own += (share * rest) ** 2;
    pairs += 2 * share ** 2 * squares;
    squares += share ** 2;
  }
  const second = weightSum ** 2 * (own + pairs);
  return (
    2 * (count - 1) +
    4 * betweenStudyVariance * momentScale(sample, common) +
    2 * betweenStudyVariance ** 2 * second
  );
}

/** Standard error from the expected information of the (restricted) likelihood; undefined without information. */
export function fromInformation(
  sample: PooledSample,
  betweenStudyVariance: number,
  restricted: boolean,
): number | undefined {
  const { information } = varianceLikelihood(sample, betweenStudyVariance, restricted);
  const standardError = 1 / Math.sqrt(information);
  return Number.isFinite(standardError) ? standardError : undefined;
}
