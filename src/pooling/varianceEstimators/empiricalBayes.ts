import type { VarianceEstimatorMethod } from '../varianceEstimatorMethods.ts';
import { pauleMandel } from './pauleMandel.ts';

/**
 * Which between-study variance do the studies' own distances suggest, when each is weighed by what it can tell?
 *
 * Morris's equation `τ² = Σ w ((k / (k - 1)) (y - μ)² - v) / Σ w` with `w = 1 / (v + τ²)`. Multiplied out it says
 * `Σ w (y - μ)² = k - 1`, the Paule-Mandel equation, so both have the same root; it is listed under its own name
 * because reviewers ask for it by that name.
 *
 * Source: Morris CN, J Am Stat Assoc 1983;78:47-55; Berkey CS et al., Stat Med 1995;14:395-411.
 */
export const empiricalBayes: VarianceEstimatorMethod = {
  id: 'empirical-bayes',
  name: 'empirical Bayes method',
  source: 'Morris CN. J Am Stat Assoc 1983;78:47-55',
  estimate: pauleMandel.estimate,
};
