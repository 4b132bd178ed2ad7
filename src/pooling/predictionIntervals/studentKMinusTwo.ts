import { studentTQuantile } from '../../numerics/distributions.ts';
import type { PredictionMethod } from '../predictionIntervalMethods.ts';

/**
 * Where may the true value of the next study lie?
 *
 * `μ ± t(k-2) sqrt(τ² + 1 / Σ w)`. No answer below three studies; rough below five.
 *
 * Source: Higgins JPT, Thompson SG, Spiegelhalter DJ, J R Stat Soc A 2009;172:137-159, section 4.
 */
export const studentKMinusTwo: PredictionMethod = {
  id: 't-k-minus-2',
  name: "Student's t distribution with k - 2 degrees of freedom",
  source: 'Higgins JPT, Thompson SG, Spiegelhalter DJ. J R Stat Soc A 2009;172:137-159',
  margin(sample, mean, level) {
    if (sample.count < 3) return undefined;
    return (
      -studentTQuantile((1 - level) / 2, sample.count - 2) *
      Math.sqrt(mean.betweenStudyVariance + 1 / mean.weightSum)
    );
  },
};
