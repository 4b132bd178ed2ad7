import { normalQuantile } from '../../numerics/distributions.ts';
import type { VarianceIntervalMethod } from '../varianceIntervalMethods.ts';
import { varianceLikelihood } from '../varianceLikelihood.ts';

/**
 * How far may the between-study variance lie from its estimate, if the likelihood were a parabola?
 *
 * `τ² ± z / sqrt(I)` with the expected information at the estimate (of the full likelihood for the
 * maximum-likelihood estimate, of the restricted one otherwise); a limit below zero is zero. Poor with few studies,
 * where the likelihood is far from a parabola; offered because papers print it.
 *
 * Source: Viechtbauer W, Stat Med 2007;26:37-52, section 3.4.
 */
export const likelihoodWald: VarianceIntervalMethod = {
  id: 'likelihood-wald',
  name: 'Wald (expected information)',
  source: 'Viechtbauer W. Stat Med 2007;26:37-52',
  interval({ sample, level, estimate, estimator }) {
    if (sample.count < 2) return undefined;
    const { information } = varianceLikelihood(sample, estimate, estimator !== 'maximum-likelihood');
    const margin = -normalQuantile((1 - level) / 2) / Math.sqrt(information);
    if (!Number.isFinite(margin)) return undefined;
    return { lower: Math.max(0, estimate - margin), upper: Math.max(0, estimate + margin), level };
  },
};
