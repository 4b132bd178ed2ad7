import { chiSquareQuantile } from '../../numerics/distributions.ts';
import { findIncreasingRoot } from '../../numerics/rootFinding.ts';
import { type PooledSample, weightedMean } from '../pooledSample.ts';
import type { VarianceIntervalMethod } from '../varianceIntervalMethods.ts';

/**
 * Which between-study variances are compatible with the scatter seen?
 *
 * The generalised Q falls steadily as the between-study variance grows and, at the true value, follows a
 * chi-square distribution with k - 1 degrees of freedom. The limits are the variances at which Q equals that
 * distribution's upper and lower quantiles; a lower limit below zero is zero. Undefined when the studies agree
 * so closely that even a variance of zero makes Q smaller than the lower quantile: no variance fits then.
 *
 * Source: Viechtbauer W, Stat Med 2007;26:37-52, section 3.1.
 */
export const qProfile: VarianceIntervalMethod = {
  id: 'q-profile',
  name: 'Q-profile',
  source: 'Viechtbauer W. Stat Med 2007;26:37-52',
  interval({ sample, common, level, estimate }) {
    const degreesOfFreedom = sample.count - 1;
    if (degreesOfFreedom < 1) return undefined;
    const tail = (1 - level) / 2;
    const smallest = chiSquareQuantile(tail, degreesOfFreedom);
    if (common.q <= smallest) return undefined;
    const largest = chiSquareQuantile(1 - tail, degreesOfFreedom);
    const upper = varianceAtQ(sample, common.q, smallest, estimate);
    const lower = common.q <= largest ? 0 : varianceAtQ(sample, common.q, largest, Math.min(estimate, upper));
    return { lower, upper, level };
  },
};

/**
 * The between-study variance at which the generalised Q equals `target`, which must lie below Q at zero.
 *
 * Solved as `1/Q = 1/target`, which is nearly a straight line in the variance, so Newton needs few steps.
 */
export function varianceAtQ(sample: PooledSample, qAtZero: number, target: number, start: number): number {
  if (qAtZero <= target) return 0;
  // Around any fixed centre, here the most precise study, Q is at most Σ (y - centre)² / τ²: the root cannot lie beyond.
  const { count, distances } = sample;
  let squares = 0;
  for (let i = 0; i < count; i++) squares += distances[i]! * distances[i]!;
  const bound = squares / target;
  return findIncreasingRoot(
    (variance, out) => {
      const at = weightedMean(sample, variance);
      out[0] = 1 / at.q - 1 / target;
      out[1] = at.fall / (at.q * at.q);
    },
    0,
    bound * (1 + 1e-12),
    start,
  ).root;
}
