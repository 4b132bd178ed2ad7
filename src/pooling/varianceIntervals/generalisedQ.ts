import { findRoot } from '../../numerics/rootFinding.ts';
import { cochranQCumulative } from '../cochranQDistribution.ts';
import type { VarianceIntervalMethod } from '../varianceIntervalMethods.ts';

/**
 * Which between-study variances make the Cochran Q seen neither too large nor too small?
 *
 * The weights stay at `1 / v`; the limits are the τ² at which the exact distribution of Q puts half of 1 - level
 * above the Q seen (lower limit) and below it (upper limit). A lower limit below zero is zero; undefined when Q is
 * too small for any variance.
 *
 * Source: Jackson D, Res Synth Methods 2013;4:220-229; Biggerstaff BJ, Jackson D, Stat Med 2008;27:6093-6110.
 */
export const generalisedQ: VarianceIntervalMethod = {
  id: 'generalised-q',
  name: 'generalised Q',
  source: 'Jackson D. Res Synth Methods 2013;4:220-229',
  interval({ sample, common, level, estimate }) {
    if (sample.count < 2) return undefined;
    const tail = (1 - level) / 2;
    const below = (variance: number): number => cochranQCumulative(sample, common.q, variance);
    const atZero = below(0);
    if (atZero <= tail) return undefined;
    let top = Math.max(estimate, sample.variances[sample.mostPrecise]!);
    for (let doubling = 0; below(top) > tail && doubling < 500; doubling++) top *= 2;
    const upper = findRoot((variance) => below(variance) - tail, 0, top).root;
    const lower =
      atZero <= 1 - tail ? 0 : findRoot((variance) => below(variance) - (1 - tail), 0, upper).root;
    return { lower, upper, level };
  },
};
