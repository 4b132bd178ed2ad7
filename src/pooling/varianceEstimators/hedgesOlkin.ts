import type { VarianceEstimatorMethod } from '../varianceEstimatorMethods.ts';
import { unweightedScatter } from './unweightedScatter.ts';

/**
 * How much more do the values scatter than their sampling variances explain, every study counting the same?
 *
 * `max(0, Σ (y - ȳ)² / (k - 1) - Σ v / k)` with ȳ the plain average. Its standard error, with `V = v + τ²`:
 * `sqrt(2 [(1 - 2/k) Σ V² + (Σ V)² / k²]) / (k - 1)`.
 *
 * Source: Hedges LV, Olkin I, Statistical Methods for Meta-Analysis, 1985, chapter 9, equation 12; standard error: Viechtbauer W,
 * J Educ Behav Stat 2005;30:261-293.
 */
export const hedgesOlkin: VarianceEstimatorMethod = {
  id: 'hedges-olkin',
  name: 'Hedges-Olkin variance-component method',
  source: 'Hedges LV, Olkin I. Statistical Methods for Meta-Analysis. 1985, chapter 9',
  estimate(sample) {
    let variances = 0;
    for (let i = 0; i < sample.count; i++) variances += sample.variances[i]!;
    return { value: Math.max(0, unweightedScatter(sample) / (sample.count - 1) - variances / sample.count) };
  },
  standardError({ count, variances }, _common, betweenStudyVariance) {
    let sum = 0;
    let squares = 0;
    for (let i = 0; i < count; i++) {
      const total = variances[i]! + betweenStudyVariance;
      sum += total;
      squares += total * total;
    }
    return Math.sqrt(2 * ((1 - 2 / count) * squares + (sum / count) ** 2)) / (count - 1);
  },
};
