import type { Estimate, LeftOut } from '../estimate.ts';
import type { TwoMeans } from '../twoMeans.ts';
import { requireGroup } from './scoreInputs.ts';

/**
 * How many times as high is the mean in the first arm as in the second?
 *
 * ln(m₁/m₂), variance s₁²/(n₁m₁²) + s₂²/(n₂m₂²) (delta method). Only for measures whose 0 means none, such as
 * pain, a force or a time, and whose means are both above 0: the ratio of two scores that could as well
 * be counted from another end means nothing.
 *
 * @returns an {@link Estimate} on the scale `log-ratio-of-means`, or {@link LeftOut} with the reason
 * @throws RangeError for a mean that is not finite, a standard deviation below 0, or a total below 2
 * @see Friedrich JO, Adhikari NKJ, Beyene J. BMC Med Res Methodol 2008;8:32. Cochrane Handbook, section 6.5.1.3.
 * @example
 * ratioOfMeans({ study: 'a', label: 'Ostrava 2015', treated: { mean: 216, standardDeviation: 43, total: 8 },
 *   comparator: { mean: 163, standardDeviation: 14, total: 8 } }).value // ln 1.33
 */
export function ratioOfMeans(arms: TwoMeans): Estimate | LeftOut {
  const { treated, comparator } = arms;
  requireGroup(`${arms.label} (treated)`, treated);
  requireGroup(`${arms.label} (comparator)`, comparator);
  const base = { study: arms.study, label: arms.label, rows: arms.rows ?? [] };
  if (
    !(
      typeof treated.mean === 'number' &&
      typeof comparator.mean === 'number' &&
      treated.mean > 0 &&
      comparator.mean > 0
    )
  ) {
    const which = treated.mean > 0 ? 'comparator' : 'treated';
    return {
      ...base,
      reason: `the mean of the ${which} arm is ${arms[which].mean}, and a ratio of means needs both above 0`,
    };
  }
  const relative = (group: TwoMeans['treated']): number =>
    (group.standardDeviation / group.mean) ** 2 / group.total;
  const value = Math.log(treated.mean) - Math.log(comparator.mean);
  const variance = relative(treated) + relative(comparator);
  if (!(variance > 0 && Number.isFinite(variance))) {
    return { ...base, reason: 'the standard deviations give no variance to weigh the ratio by' };
  }
  return { ...base, value, variance, scale: 'log-ratio-of-means', addedToEachCell: 0 };
}
