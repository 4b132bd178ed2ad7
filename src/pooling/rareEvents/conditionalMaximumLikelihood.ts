import { chiSquareQuantile, chiSquareUpperTail } from '../../numerics/distributions.ts';
import { findRoot } from '../../numerics/rootFinding.ts';
import {
  conditionalLikelihood,
  conditionalMaximum,
  logOddsRatioLimit,
  withoutConditionalMaximum,
} from './conditionalLikelihood.ts';
import type { TwoArmInterval } from './twoArmOptions.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import type { TwoArmTable } from './twoArmTable.ts';
import { wald } from './wald.ts';

/**
 * Which common odds ratio makes the observed splits of events between the arms most likely?
 *
 * Each study's treated events follow the non-central hypergeometric distribution given the study's margins;
 * the maximum solves `Σ(a − E_θ[a]) = 0`. The profile interval holds the θ with
 * `2[l(θ̂) − l(θ)] ≤ χ²₁`; its p-value is that of `2[l(θ̂) − l(0)]`. Where all studies have as few (or as
 * many) treated events as their margins allow, the likelihood rises without end: the result has no value and
 * a limit on one side.
 *
 * Sources: Gart JJ, Biometrika 1970;57:471-475; Breslow NE, Day NE, Statistical Methods in Cancer Research,
 * vol 1, 1980, section 4.4.
 *
 * @example
 * conditionalMaximumLikelihood(tables, 0.95, 'profile-likelihood').interval;
 */
export function conditionalMaximumLikelihood(
  tables: readonly TwoArmTable[],
  level: number,
  interval: TwoArmInterval,
): TwoArmOutcome {
  const likelihood = conditionalLikelihood(tables);
  const maximum = conditionalMaximum(likelihood);
  if (maximum && interval === 'wald') {
    return { status: 'estimated', ...maximum, ...wald(maximum.value, maximum.standardError, level) };
  }
  const { observed, lowest, highest } = likelihood;
  const atLimit = lowest < highest && (observed === lowest || observed === highest);
  if (!maximum && !atLimit) {
    return { status: 'no-finite-estimate', reason: withoutConditionalMaximum(likelihood) };
  }
  const at = new Float64Array(3);
  // Where the maximum lies at infinity its log-likelihood is that of a certain outcome: zero.
  const best = maximum?.logLikelihood ?? 0;
  const deviance = (theta: number): number => {
    likelihood.evaluate(theta, at);
    return 2 * (best - at[0]!);
  };
  const allowed = chiSquareQuantile(level, 1);
  const pValue = chiSquareUpperTail(Math.max(0, deviance(0)), 1);
  const edge = (towards: 1 | -1): number => {
    let inside = maximum?.value ?? -towards * logOddsRatioLimit;
    let step = maximum ? 2 * maximum.standardError : logOddsRatioLimit;
    let outside = inside + towards * step;
    while (deviance(outside) < allowed) {
      inside = outside;
      step *= 2;
      outside = inside + towards * step;
    }
    return findRoot((theta) => deviance(theta) - allowed, inside, outside).root;
  };
  if (!maximum) {
    const side = observed === lowest ? 'upper' : 'lower';
    return {
      status: 'no-finite-estimate',
      reason: withoutConditionalMaximum(likelihood),
      pValue,
      oneSidedLimit: { side, value: edge(side === 'upper' ? 1 : -1), level: (1 + level) / 2 },
    };
  }
  return {
    status: 'estimated',
    ...maximum,
    interval: { lower: edge(-1), upper: edge(1), level },
    pValue,
  };
}
