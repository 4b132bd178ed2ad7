import { type PooledSample, weightedMean } from '../pooledSample.ts';
import type { VarianceEstimatorMethod } from '../varianceEstimatorMethods.ts';
import { varianceOfCochranQ } from '../varianceStandardErrors.ts';
import { momentScale } from './momentScale.ts';

/**
 * How much do true values vary between studies, by the method of moments?
 *
 * `τ² = max(0, (Q - (k - 1)) / (Σ w - Σ w² / Σ w))` with `w = 1 / v`. Its standard error is that of Q over the same
 * divisor, before the cut at 0.
 *
 * Source: DerSimonian R, Laird N, Control Clin Trials 1986;7:177-188, section 3, equation 8; standard error: Biggerstaff
 * BJ, Tweedie RL, Stat Med 1997;16:753-768; Viechtbauer W, J Educ Behav Stat 2005;30:261-293.
 */
export const derSimonianLaird: VarianceEstimatorMethod = {
  id: 'dersimonian-laird',
  name: 'DerSimonian-Laird method of moments',
  source: 'DerSimonian R, Laird N. Control Clin Trials 1986;7:177-188',
  estimate(sample, common) {
    const excess = common.q - (sample.count - 1);
    return { value: excess > 0 ? excess / momentScale(sample, common) : 0 };
  },
  standardError: (sample, common, betweenStudyVariance) =>
    Math.sqrt(varianceOfCochranQ(sample, common, betweenStudyVariance)) / momentScale(sample, common),
};

/** The estimate from values and variances alone, for use outside a pool. */
export function derSimonianLairdVariance(sample: PooledSample): number {
  return derSimonianLaird.estimate(sample, weightedMean(sample, 0)).value;
}
