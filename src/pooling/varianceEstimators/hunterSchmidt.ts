import type { VarianceEstimatorMethod } from '../varianceEstimatorMethods.ts';
import { varianceOfCochranQ } from '../varianceStandardErrors.ts';

/**
 * How much of the weighted scatter is left after the average sampling variance is taken away?
 *
 * `max(0, (Q - k) / Σ w)` with `w = 1 / v`. Biased downwards with few studies. Its standard error is that of Q over Σ w.
 *
 * Source: Schmidt FL, Hunter JE, Methods of Meta-Analysis, 3rd ed. 2015, chapter 9; as written by Viechtbauer W,
 * J Educ Behav Stat 2005;30:261-293, equation 9.
 */
export const hunterSchmidt: VarianceEstimatorMethod = {
  id: 'hunter-schmidt',
  name: 'Hunter-Schmidt method',
  source: 'Schmidt FL, Hunter JE. Methods of Meta-Analysis. 3rd ed. 2015',
  estimate(sample, common) {
    return { value: Math.max(0, (common.q - sample.count) / common.weightSum) };
  },
  standardError: (sample, common, betweenStudyVariance) =>
    Math.sqrt(varianceOfCochranQ(sample, common, betweenStudyVariance)) / common.weightSum,
};
