import { studentTQuantile, studentTUpperTail } from '../../numerics/distributions.ts';
import type { MeanIntervalMethod } from '../meanIntervalMethods.ts';

/**
 * How precisely is the mean known, allowing for the between-study variance being estimated?
 *
 * `μ ± t(k-1) / sqrt(Σ w)`: the Wald standard error with the quantile of Student's t. No answer for one study.
 *
 * Source: Follmann DA, Proschan MA, Biometrics 1999;55:732-737.
 */
export const studentT: MeanIntervalMethod = {
  id: 'student-t',
  name: "Student's t",
  source: 'Follmann DA, Proschan MA. Biometrics 1999;55:732-737',
  reach(sample, mean, level) {
    if (sample.count < 2) return undefined;
    const standardError = Math.sqrt(1 / mean.weightSum);
    const margin = -studentTQuantile((1 - level) / 2, sample.count - 1) * standardError;
    return { standardError, below: margin, above: margin };
  },
  pValue(sample, mean, distance) {
    if (sample.count < 2) return undefined;
    return (
      2 * studentTUpperTail(Math.abs(mean.distance - distance) * Math.sqrt(mean.weightSum), sample.count - 1)
    );
  },
};
