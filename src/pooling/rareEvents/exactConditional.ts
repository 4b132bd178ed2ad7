import { findRoot } from '../../numerics/rootFinding.ts';
import {
  type ConditionalLikelihood,
  conditionalLikelihood,
  conditionalMaximum,
  withoutConditionalMaximum,
} from './conditionalLikelihood.ts';
import { convolveLogConcave } from './convolveLogConcave.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import type { TwoArmTable } from './twoArmTable.ts';

/** Probabilities of at most and of at least the observed treated events at a log odds ratio, in logarithms. */
export interface ExactTails {
  readonly atMost: (theta: number) => number;
  readonly atLeast: (theta: number) => number;
}

/** Exact tails of the treated events summed over studies: the convolution of the studies' distributions. */
export function exactTails(likelihood: ConditionalLikelihood): ExactTails {
  const coefficients = likelihood.informative.reduce<Float64Array>(
    (product, study) => convolveLogConcave(product, study.logCoefficients),
    Float64Array.of(0),
  );
  const at = likelihood.observed - likelihood.lowest;
  const logSum = (theta: number, from: number, to: number): number => {
    let top = -Infinity;
    for (let j = from; j <= to; j++) top = Math.max(top, coefficients[j]! + (j - at) * theta);
    let sum = 0;
    for (let j = from; j <= to; j++) sum += Math.exp(coefficients[j]! + (j - at) * theta - top);
    return top + Math.log(sum);
  };
  const last = coefficients.length - 1;
  return {
    atMost: (theta) => logSum(theta, 0, at) - logSum(theta, 0, last),
    atLeast: (theta) => logSum(theta, at, last) - logSum(theta, 0, last),
  };
}

/**
 * Which common odds ratios are compatible with the counts, with no approximation at all?
 *
 * Given every study's margins the treated events summed over studies follow the convolution of
 * non-central hypergeometric distributions. The limits are the odds ratios at which the probability of at
 * least (at most) the observed number is `(1 − level)/2`; the p-value is twice the smaller tail at no effect,
 * never above 1, so that it agrees with the interval. The value is the conditional maximum likelihood one.
 * The interval covers at least its level, usually more.
 *
 * Sources: Gart JJ, Biometrika 1970;57:471-475; Mehta CR, Patel NR, Gray R, J Am Stat Assoc 1985;80:969-973.
 *
 * @example
 * exactConditional(tables, 0.95).interval; // on the log scale
 */
export function exactConditional(tables: readonly TwoArmTable[], level: number): TwoArmOutcome {
  const likelihood = conditionalLikelihood(tables);
  const { observed, lowest, highest } = likelihood;
  if (lowest === highest) {
    return { status: 'no-finite-estimate', reason: withoutConditionalMaximum(likelihood) };
  }
  const tails = exactTails(likelihood);
  const tail = Math.log((1 - level) / 2);
  const pValue = Math.min(1, 2 * Math.exp(Math.min(tails.atMost(0), tails.atLeast(0))));
  const limit = (logTail: (theta: number) => number): number => {
    let reach = 1;
    while ((logTail(-reach) - tail) * (logTail(reach) - tail) > 0) reach *= 2;
    return findRoot((theta) => logTail(theta) - tail, -reach, reach).root;
  };
  const maximum = conditionalMaximum(likelihood);
  if (!maximum) {
    const side = observed === lowest ? 'upper' : 'lower';
    return {
      status: 'no-finite-estimate',
      reason: withoutConditionalMaximum(likelihood),
      pValue,
      oneSidedLimit: {
        side,
        value: limit(side === 'upper' ? tails.atMost : tails.atLeast),
        level: (1 + level) / 2,
      },
    };
  }
  return {
    status: 'estimated',
    ...maximum,
    pValue,
    interval: { lower: limit(tails.atLeast), upper: limit(tails.atMost), level },
  };
}
