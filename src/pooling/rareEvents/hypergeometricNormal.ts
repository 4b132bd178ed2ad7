import {
  conditionalLikelihood,
  conditionalMaximum,
  withoutConditionalMaximum,
} from './conditionalLikelihood.ts';
import { fitSettledModel } from './fitSettledModel.ts';
import { mixedObjective } from './mixedModel.ts';
import { mixedOutcome } from './mixedOutcome.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import type { TwoArmTable } from './twoArmTable.ts';

/**
 * What is the mean log odds ratio, and how do studies differ in it, without a word about their baselines?
 *
 * Given its margins each study's treated events follow the non-central hypergeometric distribution with log
 * odds ratio `θᵢ ~ normal(θ, τ²)`; θ and τ by maximum likelihood, each study integrated by adaptive
 * Gauss-Hermite quadrature. Studies without events, or with events only, say nothing and drop out exactly.
 *
 * Sources: Van Houwelingen HC, Zwinderman KH, Stijnen T, Stat Med 1993;12:2273-2284; Stijnen T, Hamza TH,
 * Özdemir P, Stat Med 2010;29:3046-3067, section 3.
 *
 * @example
 * hypergeometricNormal(tables, 0.95, [25, 50, 100]).betweenStudyDeviation;
 */
export function hypergeometricNormal(
  tables: readonly TwoArmTable[],
  level: number,
  points: readonly number[],
): TwoArmOutcome {
  const likelihood = conditionalLikelihood(tables);
  const start = conditionalMaximum(likelihood);
  if (!start) return { status: 'no-finite-estimate', reason: withoutConditionalMaximum(likelihood) };
  const studies = likelihood.informative.map(({ evaluate }) => [
    (theta: number, out: Float64Array): void => {
      evaluate(theta, out);
      out[2] = -out[2]!;
    },
  ]);
  const objectiveAt = (count: number) => mixedObjective(studies, { fixed: [[1]], random: [[1]] }, count);
  return mixedOutcome(fitSettledModel(objectiveAt, points, [start.value], [false]), level, {
    effect: 0,
    deviation: 1,
  });
}
