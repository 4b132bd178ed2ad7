import type { Caution } from '../caution.ts';
import { betaBinomialObjective } from './betaBinomialObjective.ts';
import { fitMixedModel } from './mixedModel.ts';
import type { TwoArmMeasure } from './twoArmOptions.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import type { TwoArmTable } from './twoArmTable.ts';
import { wald } from './wald.ts';

/**
 * How do the mean risks of the two kinds of arm compare, arms' risks being draws from beta distributions?
 *
 * Treated arms have mean risk π₁, comparator arms π₂, with one intraclass correlation ρ for both; maximum
 * likelihood. The contrast is `logit π₁ − logit π₂`, `ln π₁ − ln π₂` or `π₁ − π₂`, its standard error by the
 * delta method from the observed information of π₁, π₂ and ρ. Studies without events count, with no
 * correction. The two arms of a study are treated as independent: randomisation within studies is not used,
 * and with `ρ = 0` the answer is that of all arms thrown together.
 *
 * Source: Kuss O, Stat Med 2015;34:1097-1116, section 3.
 *
 * @example
 * betaBinomialTwoArms(tables, 0.95, 'risk-difference').overdispersion;
 */
export function betaBinomialTwoArms(
  tables: readonly TwoArmTable[],
  level: number,
  measure: TwoArmMeasure,
): TwoArmOutcome {
  const groups = [tables.map(({ treated }) => treated), tables.map(({ comparator }) => comparator)];
  const start: number[] = [];
  for (const [index, counts] of groups.entries()) {
    const events = counts.reduce((sum, count) => sum + count.events, 0);
    const total = counts.reduce((sum, count) => sum + count.total, 0);
    if (events === 0 || events === total) {
      return {
        status: 'no-finite-estimate',
        reason: `the ${index === 0 ? 'treated' : 'comparator'} arms had ${events === 0 ? 'no event at all' : 'nothing but events'}: their mean risk lies at the edge of what the model can fit`,
      };
    }
    start.push(Math.log(events / (total - events)));
  }
  const fit = fitMixedModel(betaBinomialObjective(groups), start, [false]);
  if (!fit) {
    return {
      status: 'not-converged',
      reason: 'no maximum of the likelihood was found: arms have either no events or nothing but events',
    };
  }
  const { parameters, covariance } = fit;
  const risks = [0, 1].map((group) => 1 / (1 + Math.exp(-parameters[group]!))) as [number, number];
  const contrast = contrasts[measure]!;
  const value = contrast.value(risks, parameters);
  const [d1, d2] = contrast.slopes(risks);
  const standardError = Math.sqrt(
    d1 * d1 * covariance[0]! - 2 * d1 * d2 * covariance[1]! + d2 * d2 * covariance[4]!,
  );
  const delta = parameters[2]! ** 2;
  const cautions: Caution[] = [
    {
      code: 'pairing-not-used',
      message:
        'The model treats the two arms of a study as independent: comparison within studies is not used.',
    },
  ];
  return {
    status: delta === 0 ? 'boundary' : 'estimated',
    reason:
      delta === 0
        ? 'the likelihood is highest when arms of one kind share one risk: the overdispersion is estimated as 0'
        : undefined,
    value,
    standardError,
    ...wald(value, standardError, level),
    overdispersion: delta / (1 + delta),
    logLikelihood: fit.logLikelihood,
    cautions,
  };
}

interface Contrast {
  readonly value: (risks: readonly [number, number], logits: ArrayLike<number>) => number;
  /** How the contrast moves with each logit: by plus the first, minus the second. */
  readonly slopes: (risks: readonly [number, number]) => readonly [number, number];
}

const contrasts: Partial<Record<TwoArmMeasure, Contrast>> = {
  'odds-ratio': { value: (_risks, logits) => logits[0]! - logits[1]!, slopes: () => [1, 1] },
  'risk-ratio': { value: ([p1, p2]) => Math.log(p1 / p2), slopes: ([p1, p2]) => [1 - p1, 1 - p2] },
  'risk-difference': { value: ([p1, p2]) => p1 - p2, slopes: ([p1, p2]) => [p1 * (1 - p1), p2 * (1 - p2)] },
};
