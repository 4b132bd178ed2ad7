import type { PoolingModel } from '../poolOptions.ts';
import { arcsineDifference } from './arcsineDifference.ts';
import { betaBinomialTwoArms } from './betaBinomialTwoArms.ts';
import { binomialNormalFixedIntercepts } from './binomialNormalFixedIntercepts.ts';
import { binomialNormalRandomIntercepts } from './binomialNormalRandomIntercepts.ts';
import { conditionalMaximumLikelihood } from './conditionalMaximumLikelihood.ts';
import { exactConditional } from './exactConditional.ts';
import { hypergeometricNormal } from './hypergeometricNormal.ts';
import { mantelHaenszelOddsRatio } from './mantelHaenszelOddsRatio.ts';
import { mantelHaenszelRiskDifference } from './mantelHaenszelRiskDifference.ts';
import { mantelHaenszelRiskRatio } from './mantelHaenszelRiskRatio.ts';
import { petoOneStep } from './petoOneStep.ts';
import type {
  ResolvedTwoArmOptions,
  RiskDifferenceVariance,
  TwoArmInterval,
  TwoArmMeasure,
  TwoArmMethodName,
} from './twoArmOptions.ts';
import { riskDifferenceVariances } from './twoArmOptions.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import type { TwoArmTable } from './twoArmTable.ts';
import { applyZeroCells, zeroCellsInWords } from './zeroCells.ts';

/** What a method does with studies that have no events in either arm (or nothing else). */
export interface DoubleZeroRule {
  readonly carriesInformation: boolean;
  readonly treatment: string;
}

/** One way of pooling two-arm counts. The first of each list of choices is the default. */
export interface TwoArmMethod {
  /** Full name, as printed. */
  readonly name: string;
  readonly source: string;
  readonly measures: readonly TwoArmMeasure[];
  readonly models: readonly PoolingModel[];
  readonly intervals: readonly TwoArmInterval[];
  /** Choices of variance; empty where there is none. */
  readonly variances: readonly RiskDifferenceVariance[];
  /** May something be added to the cells? */
  readonly takesZeroCells: boolean;
  /** Points of the quadrature, tried in turn until the estimates settle; empty where nothing is integrated. */
  readonly quadraturePoints: readonly number[];
  readonly noEvents: (options: ResolvedTwoArmOptions) => DoubleZeroRule;
  readonly allEvents: (options: ResolvedTwoArmOptions) => DoubleZeroRule;
  readonly estimate: (tables: readonly TwoArmTable[], options: ResolvedTwoArmOptions) => TwoArmOutcome;
}

const nothing = (why: string): DoubleZeroRule => ({
  carriesInformation: false,
  treatment: `kept in the list; adds nothing to the estimate: ${why}`,
});
const something = (what: string): DoubleZeroRule => ({
  carriesInformation: true,
  treatment: `used: ${what}`,
});

const noMargin = nothing('with its margins given, the split of events between the arms is certain');
const conditionalRule = { noEvents: () => noMargin, allEvents: () => noMargin };
const plain = {
  models: ['common-effect'],
  intervals: ['wald'],
  variances: [],
  takesZeroCells: false,
  quadraturePoints: [],
} as const;

function mantelHaenszelRule(cells: 'no-events' | 'all-events') {
  return (options: ResolvedTwoArmOptions): DoubleZeroRule => {
    const { measure, zeroCells } = options;
    if (measure === 'risk-difference') {
      return something('its size gives it weight, pulling the difference towards zero');
    }
    if (zeroCells !== 'none') return something(`with an addition: ${zeroCellsInWords(zeroCells)}`);
    if (cells === 'all-events' && measure === 'risk-ratio') {
      return something('its events pull the risk ratio towards 1');
    }
    return nothing('its terms in both sums are zero');
  };
}

/** Every method of pooling two-arm counts, by name. */
export const twoArmMethods: Readonly<Record<TwoArmMethodName, TwoArmMethod>> = {
  'mantel-haenszel': {
    ...plain,
    name: 'Mantel-Haenszel',
    source:
      'Mantel & Haenszel 1959; variances Robins, Breslow & Greenland 1986 (odds ratio), Greenland & Robins 1985 (risk ratio, risk difference), Sato 1989 (risk difference)',
    measures: ['odds-ratio', 'risk-ratio', 'risk-difference'],
    variances: riskDifferenceVariances,
    takesZeroCells: true,
    noEvents: mantelHaenszelRule('no-events'),
    allEvents: mantelHaenszelRule('all-events'),
    estimate(tables, { measure, level, variance, zeroCells }) {
      const adjusted = applyZeroCells(tables, zeroCells);
      if (measure === 'risk-difference')
        return mantelHaenszelRiskDifference(adjusted, level, variance ?? 'sato');
      return (measure === 'risk-ratio' ? mantelHaenszelRiskRatio : mantelHaenszelOddsRatio)(adjusted, level);
    },
  },
  peto: {
    ...plain,
    name: 'Peto one-step',
    source: 'Yusuf et al. 1985',
    measures: ['odds-ratio'],
    noEvents: () => nothing('observed and expected events are equal and their variance is zero'),
    allEvents: () => nothing('observed and expected events are equal and their variance is zero'),
    estimate: (tables, { level }) => petoOneStep(tables, level),
  },
  'arcsine-difference': {
    ...plain,
    name: 'Inverse-variance pooling of arcsine differences',
    source: 'Rücker et al. 2009',
    measures: ['arcsine-difference'],
    models: ['random-effects', 'common-effect'],
    noEvents: () => something('as a difference of zero, with the variance its size gives'),
    allEvents: () => something('as a difference of zero, with the variance its size gives'),
    estimate: arcsineDifference,
  },
  'conditional-maximum-likelihood': {
    ...plain,
    name: 'Conditional maximum likelihood (non-central hypergeometric)',
    source: 'Gart 1970; Breslow & Day 1980',
    measures: ['odds-ratio'],
    intervals: ['profile-likelihood', 'wald'],
    ...conditionalRule,
    estimate: (tables, { level, interval }) => conditionalMaximumLikelihood(tables, level, interval),
  },
  'exact-conditional': {
    ...plain,
    name: 'Exact conditional odds ratio',
    source: 'Gart 1970; Mehta, Patel & Gray 1985',
    measures: ['odds-ratio'],
    intervals: ['exact'],
    ...conditionalRule,
    estimate: (tables, { level }) => exactConditional(tables, level),
  },
  'hypergeometric-normal': {
    ...plain,
    name: 'Hypergeometric-normal random effects',
    source: 'Van Houwelingen et al. 1993; Stijnen et al. 2010',
    measures: ['odds-ratio'],
    models: ['random-effects'],
    quadraturePoints: [25, 50, 100],
    ...conditionalRule,
    estimate: (tables, { level, quadraturePoints }) => hypergeometricNormal(tables, level, quadraturePoints),
  },
  'binomial-normal-fixed-intercepts': {
    ...plain,
    name: 'Binomial-normal with one fixed intercept per study',
    source: 'Turner et al. 2000; Jackson et al. 2018',
    measures: ['odds-ratio'],
    models: ['random-effects', 'common-effect'],
    quadraturePoints: [25, 50, 100],
    noEvents: () => nothing('an intercept of its own explains its counts without remainder'),
    allEvents: () => nothing('an intercept of its own explains its counts without remainder'),
    estimate: (tables, { level, model, quadraturePoints }) =>
      binomialNormalFixedIntercepts(tables, level, model, quadraturePoints),
  },
  'binomial-normal-random-intercepts': {
    ...plain,
    name: 'Binomial-normal with random intercepts, independent of the effect',
    source: 'Turner et al. 2000; Jackson et al. 2018',
    measures: ['odds-ratio'],
    models: ['random-effects', 'common-effect'],
    quadraturePoints: [15, 30, 60],
    noEvents: () => something('it shows how low baselines can be, and that its arms do not differ much'),
    allEvents: () => something('it shows how high baselines can be, and that its arms do not differ much'),
    estimate: (tables, { level, model, quadraturePoints }) =>
      binomialNormalRandomIntercepts(tables, level, model, quadraturePoints),
  },
  'beta-binomial': {
    ...plain,
    name: 'Beta-binomial with one overdispersion for both arms',
    source: 'Kuss 2015',
    measures: ['odds-ratio', 'risk-ratio', 'risk-difference'],
    models: ['random-effects'],
    noEvents: () => something('both arms count in the mean risk of their kind'),
    allEvents: () => something('both arms count in the mean risk of their kind'),
    estimate: (tables, { level, measure }) => betaBinomialTwoArms(tables, level, measure),
  },
};
