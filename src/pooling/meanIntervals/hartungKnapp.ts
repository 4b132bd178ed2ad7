import { studentTQuantile, studentTUpperTail } from '../../numerics/distributions.ts';
import type { MeanIntervalMethod } from '../meanIntervalMethods.ts';
import type { PooledSample, WeightedMean } from '../pooledSample.ts';

/**
 * How precisely is the mean known, judged from how the studies scatter around it?
 *
 * `μ ± t(k-1) sqrt(Σ w (y - μ)² / ((k - 1) Σ w))`. Not truncated: it can come out shorter than the Wald
 * interval, and the result says so when it does. No answer for one study or for studies without scatter.
 *
 * Source: Hartung J, Knapp G, Stat Med 2001;20:3875-3889; IntHout J et al., BMC Med Res Methodol 2014;14:25;
 * on when it is too short: Röver C et al., BMC Med Res Methodol 2015;15:99.
 */
export const hartungKnapp: MeanIntervalMethod = {
  id: 'hartung-knapp',
  name: 'Hartung-Knapp',
  source: 'Hartung J, Knapp G. Stat Med 2001;20:3875-3889',
  reach(sample, mean, level) {
    const standardError = scatterStandardError(sample, mean);
    if (standardError === undefined) return undefined;
    const margin = -studentTQuantile((1 - level) / 2, sample.count - 1) * standardError;
    return { standardError, below: margin, above: margin };
  },
  pValue(sample, mean, distance) {
    const standardError = scatterStandardError(sample, mean);
    if (standardError === undefined) return undefined;
    return 2 * studentTUpperTail(Math.abs(mean.distance - distance) / standardError, sample.count - 1);
  },
};

/**
 * How precisely is the mean known, judged from the scatter but never more precisely than the weights say?
 *
 * As {@link hartungKnapp} with the larger of its standard error and `1 / sqrt(Σ w)`, so that it is never narrower
 * than the Wald interval. Advised for few studies of unequal size.
 *
 * Source: Röver C, Knapp G, Friede T, BMC Med Res Methodol 2015;15:99.
 */
export const truncatedHartungKnapp: MeanIntervalMethod = {
  id: 'truncated-hartung-knapp',
  name: 'truncated Hartung-Knapp',
  source: 'Röver C, Knapp G, Friede T. BMC Med Res Methodol 2015;15:99',
  reach(sample, mean, level) {
    if (sample.count < 2) return undefined;
    const standardError = Math.max(scatterStandardError(sample, mean) ?? 0, Math.sqrt(1 / mean.weightSum));
    const margin = -studentTQuantile((1 - level) / 2, sample.count - 1) * standardError;
    return { standardError, below: margin, above: margin };
  },
  pValue(sample, mean, distance) {
    if (sample.count < 2) return undefined;
    const standardError = Math.max(scatterStandardError(sample, mean) ?? 0, Math.sqrt(1 / mean.weightSum));
    return 2 * studentTUpperTail(Math.abs(mean.distance - distance) / standardError, sample.count - 1);
  },
};

/** Standard error of the mean from the weighted scatter; undefined without scatter. */
export function scatterStandardError(sample: PooledSample, mean: WeightedMean): number | undefined {
  if (sample.count < 2 || mean.q === 0) return undefined;
  // Two roots, since the quotient under one would underflow for scatter that is barely there.
  return Math.sqrt(mean.q / (sample.count - 1)) / Math.sqrt(mean.weightSum);
}
