import type { PoolingModel } from '../poolOptions.ts';
import { fitSettledModel } from './fitSettledModel.ts';
import { binomialLogitTerm } from './likelihoodTerms.ts';
import { logBinomialCoefficients } from './logBinomialCoefficients.ts';
import { mixedObjective } from './mixedModel.ts';
import { mixedOutcome } from './mixedOutcome.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import type { TwoArmTable } from './twoArmTable.ts';

/**
 * What is the mean log odds ratio, the studies' baselines being draws from a normal distribution too?
 *
 * `logit p = μ + σuᵢ ± ½(θ + τvᵢ)` (plus in the treated arm), `u` and `v` independent standard normal; without
 * `v` under a common effect. Maximum likelihood over μ, θ, σ, τ, each study integrated over `u` and `v` by
 * adaptive Gauss-Hermite quadrature. Studies without events stay in: they say that baselines can be low. The
 * price is that θ also uses differences between studies, so it rests on the baselines being normal and
 * unrelated to the effect.
 *
 * Sources: Turner RM et al., Stat Med 2000;19:3417-3432, section 4; Jackson D et al., Stat Med
 * 2018;37:1059-1085, section 3.4 (independent intercept and effect, ½ in both arms).
 *
 * @example
 * binomialNormalRandomIntercepts(tables, 0.95, 'common-effect', [15, 30, 60]).value;
 */
export function binomialNormalRandomIntercepts(
  tables: readonly TwoArmTable[],
  level: number,
  model: PoolingModel,
  points: readonly number[],
): TwoArmOutcome {
  const arms = { treated: logOdds(tables, 'treated'), comparator: logOdds(tables, 'comparator') };
  for (const [arm, odds] of Object.entries(arms)) {
    if (!Number.isFinite(odds)) {
      const what = odds < 0 ? 'no event at all' : 'nothing but events';
      return {
        status: 'no-finite-estimate',
        reason: `the ${arm} arms had ${what}: the odds ratio has no finite value`,
      };
    }
  }
  const objectiveAt = (count: number) =>
    mixedObjective(
      tables.map(({ treated, comparator }) => [
        binomialLogitTerm(treated.events, treated.total),
        binomialLogitTerm(comparator.events, comparator.total),
      ]),
      {
        fixed: [
          [1, 0.5],
          [1, -0.5],
        ],
        random: [
          [1, 0.5],
          [1, -0.5],
        ],
      },
      count,
    );
  const start = [(arms.treated + arms.comparator) / 2, arms.treated - arms.comparator];
  const common = model === 'common-effect';
  const settled = fitSettledModel(objectiveAt, points, start, [false, common]);
  const { fit } = settled;
  const constant = logBinomialCoefficients(
    tables.flatMap(({ treated, comparator }) => [treated, comparator]),
  );
  return mixedOutcome(
    { ...settled, fit: fit && { ...fit, logLikelihood: fit.logLikelihood + constant } },
    level,
    {
      effect: 1,
      deviation: common ? undefined : 3,
    },
  );
}

function logOdds(tables: readonly TwoArmTable[], arm: 'treated' | 'comparator'): number {
  let events = 0;
  let total = 0;
  for (const table of tables) {
    events += table[arm].events;
    total += table[arm].total;
  }
  return Math.log(events / (total - events));
}
