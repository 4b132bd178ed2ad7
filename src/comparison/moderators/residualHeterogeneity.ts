import { chiSquareUpperTail } from '../../numerics/distributions.ts';
import type { ResidualHeterogeneity } from './metaRegression.ts';
import type { RegressionSample } from './regressionSample.ts';
import { residualVarianceInterval } from './residualVariance.ts';
import type { WeightedRegression } from './weightedRegression.ts';

/**
 * How much do studies differ beyond chance once the covariates are allowed for?
 *
 * `Q = yᵀPy` at τ² = 0 against chi-square with k - p degrees of freedom; `I² = max(0, (Q - df) / Q)`.
 *
 * Source: Cochrane Handbook for Systematic Reviews of Interventions, version 6.5, section 10.11.4.
 */
export function residualHeterogeneity(
  sample: RegressionSample,
  common: WeightedRegression,
  betweenStudyVariance: number,
  level: number,
): ResidualHeterogeneity {
  const degreesOfFreedom = sample.count - sample.width;
  const { q } = common;
  return {
    q,
    degreesOfFreedom,
    pValue: chiSquareUpperTail(q, degreesOfFreedom),
    betweenStudyVariance,
    betweenStudyVarianceInterval: residualVarianceInterval(sample, common, level),
    iSquared: q > degreesOfFreedom ? (q - degreesOfFreedom) / q : 0,
  };
}
