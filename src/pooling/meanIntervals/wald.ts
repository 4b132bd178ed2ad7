import { normalQuantile, normalUpperTail } from '../../numerics/distributions.ts';
import type { MeanIntervalMethod } from '../meanIntervalMethods.ts';

/**
 * How precisely is the mean known, if the between-study variance is taken as known?
 *
 * `μ ± z / sqrt(Σ w)`. Too short with few, differing studies.
 *
 * Source: DerSimonian R, Laird N, Control Clin Trials 1986;7:177-188, section 3.
 */
export const wald: MeanIntervalMethod = {
  id: 'wald',
  name: 'Wald',
  source: 'DerSimonian R, Laird N. Control Clin Trials 1986;7:177-188',
  reach(_sample, mean, level) {
    const standardError = Math.sqrt(1 / mean.weightSum);
    const margin = -normalQuantile((1 - level) / 2) * standardError;
    return { standardError, below: margin, above: margin };
  },
  pValue(_sample, mean, distance) {
    return 2 * normalUpperTail(Math.abs(mean.distance - distance) * Math.sqrt(mean.weightSum));
  },
};
