import type { PoolingModel } from '../poolOptions.ts';
import {
  conditionalLikelihood,
  conditionalMaximum,
  withoutConditionalMaximum,
} from './conditionalLikelihood.ts';
import { fitSettledModel } from './fitSettledModel.ts';
import { integrateStudy, type MixedDesign, studyIntegral } from './integratedLikelihood.ts';
import { binomialLogitTerm, type LikelihoodTerm } from './likelihoodTerms.ts';
import { logBinomialCoefficients } from './logBinomialCoefficients.ts';
import type { MixedObjective } from './mixedModel.ts';
import { mixedOutcome } from './mixedOutcome.ts';
import { newtonMaximum } from './newtonMaximum.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import { isAllEvents, isDoubleZero, type TwoArmTable } from './twoArmTable.ts';

/** η = γ ± ½(θ + τu): both arms share the deviation, so that swapping them only turns its sign. */
const design: MixedDesign = {
  fixed: [
    [1, 0.5],
    [1, -0.5],
  ],
  random: [[0.5], [-0.5]],
};

/**
 * What is the mean log odds ratio, each study having a baseline of its own that is estimated with it?
 *
 * `events ~ binomial(total, p)`, `logit p = γᵢ ± ½θᵢ` (plus in the treated arm), `γᵢ` a parameter of each
 * study, `θᵢ ~ normal(θ, τ²)`, or `θᵢ = θ` under a common effect, which is ordinary logistic regression with
 * one intercept per study. Maximum likelihood; the intercepts are profiled out study by study, and the
 * standard error allows for all of them. With many small studies the number of intercepts grows with the
 * studies and θ is pulled away from zero; the conditional methods do not have that fault. Studies without
 * events, or with events only, have no finite intercept and drop out exactly.
 *
 * Sources: Turner RM, Omar RZ, Yang M, Goldstein H, Thompson SG, Stat Med 2000;19:3417-3432, section 3;
 * Jackson D, Law M, Stijnen T, Viechtbauer W, White IR, Stat Med 2018;37:1059-1085, section 3.2 (on ½ in both
 * arms).
 *
 * @example
 * binomialNormalFixedIntercepts(tables, 0.95, 'random-effects', [25, 50, 100]).value;
 */
export function binomialNormalFixedIntercepts(
  tables: readonly TwoArmTable[],
  level: number,
  model: PoolingModel,
  points: readonly number[],
): TwoArmOutcome {
  const likelihood = conditionalLikelihood(tables);
  const start = conditionalMaximum(likelihood);
  if (!start) return { status: 'no-finite-estimate', reason: withoutConditionalMaximum(likelihood) };
  const used = tables.filter((table) => !isDoubleZero(table) && !isAllEvents(table));
  const fit = fitSettledModel(
    (count) => profiledIntercepts(used, count),
    points,
    [start.value],
    [model === 'common-effect'],
  );
  return mixedOutcome(fit, level, { effect: 0, deviation: model === 'common-effect' ? undefined : 1 });
}

/** The likelihood of θ and τ, for each study at the intercept that makes its counts most likely. */
function profiledIntercepts(tables: readonly TwoArmTable[], points: number): MixedObjective {
  const studies = tables.map(({ treated, comparator }): LikelihoodTerm[] => [
    binomialLogitTerm(treated.events, treated.total),
    binomialLogitTerm(comparator.events, comparator.total),
  ]);
  const constant = logBinomialCoefficients(
    tables.flatMap(({ treated, comparator }) => [treated, comparator]),
  );
  const intercepts = tables.map(({ treated, comparator }) => {
    const events = treated.events + comparator.events;
    return Math.log(events / (treated.total + comparator.total - events));
  });
  const modes = tables.map(() => new Float64Array(1));
  const study = studyIntegral(3);
  return {
    coefficients: 1,
    deviations: 1,
    evaluate([theta, tau], atZero, gradient, hessian) {
      const perDimension = [atZero[0] ? 1 : points];
      gradient.fill(0);
      hessian.fill(0);
      let value = constant;
      for (const [i, terms] of studies.entries()) {
        const search = newtonMaximum(
          ([intercept], g, h) => {
            integrateStudy(terms, design, [intercept!, theta!, tau!], perDimension, modes[i]!, study);
            g[0] = study.gradient[0]!;
            h[0] = study.hessian[0]!;
            return study.logLikelihood;
          },
          [intercepts[i]!],
        );
        if (!search.converged) return Number.NaN;
        intercepts[i] = search.at[0]!;
        integrateStudy(terms, design, [search.at[0]!, theta!, tau!], perDimension, modes[i]!, study);
        value += study.logLikelihood;
        const { gradient: g, hessian: h } = study;
        // The curvature left once the intercept follows: the Schur complement.
        for (let p = 0; p < 2; p++) {
          gradient[p]! += g[p + 1]!;
          for (let q = 0; q < 2; q++) {
            hessian[p * 2 + q]! += h[(p + 1) * 3 + q + 1]! - (h[(p + 1) * 3]! * h[q + 1]!) / h[0]!;
          }
        }
      }
      return value;
    },
  };
}
