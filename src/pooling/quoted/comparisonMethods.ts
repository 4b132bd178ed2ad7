import { isEstimate } from '../../effects/isEstimate.ts';
import { oddsRatio, riskDifference, riskRatio } from '../../effects/twoRates.ts';
import { normalQuantile, studentTQuantile } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import { meanIntervalMethods } from '../meanIntervalMethods.ts';
import { pooledSample, weightedMean } from '../pooledSample.ts';
import { conditionalMaximumLikelihood } from '../rareEvents/conditionalMaximumLikelihood.ts';
import { mantelHaenszelOddsRatio } from '../rareEvents/mantelHaenszelOddsRatio.ts';
import { mantelHaenszelRiskDifference } from '../rareEvents/mantelHaenszelRiskDifference.ts';
import { mantelHaenszelRiskRatio } from '../rareEvents/mantelHaenszelRiskRatio.ts';
import { petoOneStep } from '../rareEvents/petoOneStep.ts';
import type { TwoArmTable } from '../rareEvents/twoArmTable.ts';
import { applyZeroCells } from '../rareEvents/zeroCells.ts';
import { derSimonianLaird } from '../varianceEstimators/derSimonianLaird.ts';
import {
  conditionalBinomialNormal,
  type EffectDeviationScale,
  type EffectLikelihood,
  effectMeanPrior,
  type FittedEffects,
  fitted,
  hypergeometricNormal,
} from './comparisonContext.ts';
import { profileLimit } from './profile.ts';
import { type ProfileCutOff, profileCutOffs } from './profileCutOffs.ts';
import type { DerSimonianLairdInterval, QuotedEstimand } from './rateMethods.ts';

/** What two arms are compared by in a quoted number. */
export const quotedMeasures = ['odds-ratio', 'risk-ratio', 'risk-difference'] as const;
export type QuotedMeasure = (typeof quotedMeasures)[number];

/** An effect on its analysis scale (natural logarithm of ratios, plain differences) with its interval there. */
export interface EffectAnswer {
  readonly value: number;
  readonly interval: Interval | undefined;
}

/** Tables of one comparison with the fits that several methods share. */
export interface ComparisonContext {
  readonly tables: readonly TwoArmTable[];
  /** Likelihoods of odds ratios and of risk ratios, and the same fitted. */
  readonly oddsRatios: () => EffectLikelihood | undefined;
  readonly riskRatios: () => EffectLikelihood | undefined;
  readonly hypergeometric: () => FittedEffects | undefined;
  readonly conditionalBinomial: () => FittedEffects | undefined;
}

export function comparisonContext(tables: readonly TwoArmTable[]): ComparisonContext {
  const oddsRatios = once(() => hypergeometricNormal(tables));
  const riskRatios = once(() => conditionalBinomialNormal(tables));
  return {
    tables,
    oddsRatios,
    riskRatios,
    hypergeometric: once(() => fitted(oddsRatios())),
    conditionalBinomial: once(() => fitted(riskRatios())),
  };
}

function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | undefined;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}

/** One way to a comparison from counts. */
export interface ComparisonMethod {
  readonly name: string;
  readonly source: string;
  readonly measure: QuotedMeasure;
  readonly estimand: QuotedEstimand;
  readonly estimate: (context: ComparisonContext, level: number) => EffectAnswer | undefined;
}

type Fit = (context: ComparisonContext) => FittedEffects | undefined;

function byProfile(pick: Fit, cutOff: ProfileCutOff): ComparisonMethod['estimate'] {
  return (context, level) => {
    const fit = pick(context);
    if (!fit || fit.studies < 2) return undefined;
    const allowed = profileCutOffs[cutOff].at(level, fit.studies);
    const lower = profileLimit(fit.problem, fit.peak, allowed, -1);
    const upper = profileLimit(fit.problem, fit.peak, allowed, 1);
    return { value: fit.peak.t, interval: lower && upper && { lower: lower.t, upper: upper.t, level } };
  };
}

function byWald(pick: Fit, student: boolean): ComparisonMethod['estimate'] {
  return (context, level) => {
    const fit = pick(context);
    if (!fit || fit.studies < 2) return undefined;
    const { t, standardError } = fit.peak;
    if (standardError === undefined) return { value: t, interval: undefined };
    const tail = (1 - level) / 2;
    const margin =
      -(student ? studentTQuantile(tail, fit.studies - 1) : normalQuantile(tail)) * standardError;
    return { value: t, interval: { lower: t - margin, upper: t + margin, level } };
  };
}

const hypergeometric: Fit = (context) => context.hypergeometric();
const conditionalBinomial: Fit = (context) => context.conditionalBinomial();
const hypergeometricBase = {
  measure: 'odds-ratio',
  estimand: 'median study',
  source: 'Van Houwelingen et al. 1993; Stijnen et al. 2010; Venzon & Moolgavkar 1988',
} as const;
const conditionalBase = {
  measure: 'risk-ratio',
  estimand: 'median study',
  source: 'Stijnen et al. 2010; Venzon & Moolgavkar 1988',
} as const;

/** The posterior median with equal tails beyond its limits. */
function byPosterior(
  model: string,
  { measure, estimand }: Pick<ComparisonMethod, 'measure' | 'estimand'>,
  pick: (context: ComparisonContext) => EffectLikelihood | undefined,
  scale: EffectDeviationScale,
): ComparisonMethod {
  return {
    measure,
    estimand,
    name: `Posterior of the ${model}, leaning on its priors: between-study deviation half-normal ${scale}, mean normal(0, ${effectMeanPrior.deviation}²)`,
    source: 'Röver et al. 2021; Günhan, Röver & Friede 2020',
    estimate(context, level) {
      const effects = pick(context);
      if (!effects || effects.studies < 2) return undefined;
      const posterior = effects.posterior(scale);
      const at = (probability: number): number => posterior.quantile('median study', probability);
      const tail = (1 - level) / 2;
      return { value: at(0.5), interval: { lower: at(tail), upper: at(1 - tail), level } };
    },
  };
}

const contrasts = {
  'odds-ratio': oddsRatio,
  'risk-ratio': riskRatio,
  'risk-difference': riskDifference,
} as const;
const contrastNames = {
  'odds-ratio': 'log odds ratios',
  'risk-ratio': 'log risk ratios',
  'risk-difference': 'risk differences',
} as const;

/**
 * The inverse-variance mean of the studies' effects with the between-study variance of DerSimonian and Laird.
 *
 * @param added to each cell of a study with an empty one; 0 leaves it out
 */
export function derSimonianLairdContrast(
  measure: QuotedMeasure,
  added: number,
  interval: DerSimonianLairdInterval,
): ComparisonMethod {
  return {
    name: `DerSimonian-Laird on ${contrastNames[measure]}, ${added > 0 ? `${added} added to studies with an empty cell` : 'studies with an empty cell left out'}, ${meanIntervalMethods[interval].name} interval`,
    source: `DerSimonian R, Laird N. Control Clin Trials 1986;7:177-188; ${meanIntervalMethods[interval].source}`,
    measure,
    estimand: 'centre on the scale',
    estimate({ tables }, level) {
      const values: number[] = [];
      const variances: number[] = [];
      for (const table of tables) {
        const estimate = contrasts[measure](table, added > 0 ? { zeroEvents: { addToEachCell: added } } : {});
        if (!isEstimate(estimate)) continue;
        values.push(estimate.value);
        variances.push(estimate.variance);
      }
      if (values.length < 2) return undefined;
      const sample = pooledSample(Float64Array.from(values), Float64Array.from(variances));
      const mean = weightedMean(sample, derSimonianLaird.estimate(sample, weightedMean(sample, 0)).value);
      const value = sample.centre + mean.distance;
      const reach = meanIntervalMethods[interval].reach(sample, mean, level);
      return { value, interval: reach && { lower: value - reach.below, upper: value + reach.above, level } };
    },
  };
}

/** Every way to a comparison whose coverage is measured, and the common-effect answers that stand beside it. */
export const comparisonMethodNames = [
  'dersimonian-laird-odds-ratio-half-added-wald',
  'dersimonian-laird-odds-ratio-half-added-hartung-knapp',
  'dersimonian-laird-odds-ratio-half-added-truncated-hartung-knapp',
  'dersimonian-laird-odds-ratio-nothing-added-wald',
  'dersimonian-laird-odds-ratio-nothing-added-hartung-knapp',
  'dersimonian-laird-odds-ratio-nothing-added-truncated-hartung-knapp',
  'dersimonian-laird-risk-ratio-nothing-added-truncated-hartung-knapp',
  'dersimonian-laird-risk-difference-nothing-added-truncated-hartung-knapp',
  'hypergeometric-normal-wald',
  'hypergeometric-normal-wald-student-t',
  'hypergeometric-normal-profile-chi-square',
  'hypergeometric-normal-profile-t-test',
  'hypergeometric-normal-profile-f',
  'hypergeometric-normal-posterior-half-normal-0.5',
  'hypergeometric-normal-posterior-half-normal-1',
  'conditional-binomial-normal-profile-chi-square',
  'conditional-binomial-normal-profile-t-test',
  'conditional-binomial-normal-posterior-half-normal-0.5',
  'conditional-binomial-normal-posterior-half-normal-1',
  'mantel-haenszel-odds-ratio',
  'mantel-haenszel-risk-ratio',
  'mantel-haenszel-risk-difference',
  'peto',
  'conditional-maximum-likelihood',
] as const;
export type ComparisonMethodName = (typeof comparisonMethodNames)[number];

const common = { estimand: 'common effect' } as const;
const outcome = (of: {
  readonly value?: number | undefined;
  readonly interval?: Interval | undefined;
}): EffectAnswer | undefined =>
  of.value === undefined ? undefined : { value: of.value, interval: of.interval };

/** The methods by name. */
export const comparisonMethods: Readonly<Record<ComparisonMethodName, ComparisonMethod>> = {
  'dersimonian-laird-odds-ratio-half-added-wald': derSimonianLairdContrast('odds-ratio', 0.5, 'wald'),
  'dersimonian-laird-odds-ratio-half-added-hartung-knapp': derSimonianLairdContrast(
    'odds-ratio',
    0.5,
    'hartung-knapp',
  ),
  'dersimonian-laird-odds-ratio-half-added-truncated-hartung-knapp': derSimonianLairdContrast(
    'odds-ratio',
    0.5,
    'truncated-hartung-knapp',
  ),
  'dersimonian-laird-odds-ratio-nothing-added-wald': derSimonianLairdContrast('odds-ratio', 0, 'wald'),
  'dersimonian-laird-odds-ratio-nothing-added-hartung-knapp': derSimonianLairdContrast(
    'odds-ratio',
    0,
    'hartung-knapp',
  ),
  'dersimonian-laird-odds-ratio-nothing-added-truncated-hartung-knapp': derSimonianLairdContrast(
    'odds-ratio',
    0,
    'truncated-hartung-knapp',
  ),
  'dersimonian-laird-risk-ratio-nothing-added-truncated-hartung-knapp': derSimonianLairdContrast(
    'risk-ratio',
    0,
    'truncated-hartung-knapp',
  ),
  'dersimonian-laird-risk-difference-nothing-added-truncated-hartung-knapp': derSimonianLairdContrast(
    'risk-difference',
    0,
    'truncated-hartung-knapp',
  ),
  'hypergeometric-normal-wald': {
    ...hypergeometricBase,
    name: 'Hypergeometric-normal model, Wald interval',
    estimate: byWald(hypergeometric, false),
  },
  'hypergeometric-normal-wald-student-t': {
    ...hypergeometricBase,
    name: 'Hypergeometric-normal model, Wald interval with t(k − 1)',
    estimate: byWald(hypergeometric, true),
  },
  'hypergeometric-normal-profile-chi-square': {
    ...hypergeometricBase,
    name: 'Hypergeometric-normal model, profile likelihood with the chi-square cut-off',
    estimate: byProfile(hypergeometric, 'chi-square'),
  },
  'hypergeometric-normal-profile-t-test': {
    ...hypergeometricBase,
    name: 'Hypergeometric-normal model, profile likelihood with the cut-off k·ln(1 + t²/(k − 1))',
    estimate: byProfile(hypergeometric, 't-test'),
  },
  'hypergeometric-normal-profile-f': {
    ...hypergeometricBase,
    name: 'Hypergeometric-normal model, profile likelihood with the cut-off F(1, k − 1)',
    estimate: byProfile(hypergeometric, 'f'),
  },
  'hypergeometric-normal-posterior-half-normal-0.5': byPosterior(
    'hypergeometric-normal model',
    hypergeometricBase,
    ({ oddsRatios }) => oddsRatios(),
    0.5,
  ),
  'hypergeometric-normal-posterior-half-normal-1': byPosterior(
    'hypergeometric-normal model',
    hypergeometricBase,
    ({ oddsRatios }) => oddsRatios(),
    1,
  ),
  'conditional-binomial-normal-profile-chi-square': {
    ...conditionalBase,
    name: 'Conditional binomial-normal model, profile likelihood with the chi-square cut-off',
    estimate: byProfile(conditionalBinomial, 'chi-square'),
  },
  'conditional-binomial-normal-profile-t-test': {
    ...conditionalBase,
    name: 'Conditional binomial-normal model, profile likelihood with the cut-off k·ln(1 + t²/(k − 1))',
    estimate: byProfile(conditionalBinomial, 't-test'),
  },
  'conditional-binomial-normal-posterior-half-normal-0.5': byPosterior(
    'conditional binomial-normal model',
    conditionalBase,
    ({ riskRatios }) => riskRatios(),
    0.5,
  ),
  'conditional-binomial-normal-posterior-half-normal-1': byPosterior(
    'conditional binomial-normal model',
    conditionalBase,
    ({ riskRatios }) => riskRatios(),
    1,
  ),
  'mantel-haenszel-odds-ratio': {
    ...common,
    measure: 'odds-ratio',
    name: 'Mantel-Haenszel odds ratio, nothing added',
    source: 'Mantel & Haenszel 1959; Robins, Breslow & Greenland 1986',
    estimate: ({ tables }, level) => outcome(mantelHaenszelOddsRatio(applyZeroCells(tables, 'none'), level)),
  },
  'mantel-haenszel-risk-ratio': {
    ...common,
    measure: 'risk-ratio',
    name: 'Mantel-Haenszel risk ratio, nothing added',
    source: 'Greenland & Robins 1985',
    estimate: ({ tables }, level) => outcome(mantelHaenszelRiskRatio(applyZeroCells(tables, 'none'), level)),
  },
  'mantel-haenszel-risk-difference': {
    ...common,
    measure: 'risk-difference',
    name: 'Mantel-Haenszel risk difference, Sato variance',
    source: 'Greenland & Robins 1985; Sato 1989',
    estimate: ({ tables }, level) =>
      outcome(mantelHaenszelRiskDifference(applyZeroCells(tables, 'none'), level, 'sato')),
  },
  peto: {
    ...common,
    measure: 'odds-ratio',
    name: 'Peto one-step odds ratio',
    source: 'Yusuf et al. 1985',
    estimate: ({ tables }, level) => outcome(petoOneStep(tables, level)),
  },
  'conditional-maximum-likelihood': {
    ...common,
    measure: 'odds-ratio',
    name: 'Conditional maximum likelihood odds ratio, profile limits',
    source: 'Gart 1970; Breslow & Day 1980',
    estimate: ({ tables }, level) =>
      outcome(conditionalMaximumLikelihood(tables, level, 'profile-likelihood')),
  },
};
