import type { PoolingModel, PoolOptions } from '../poolOptions.ts';

/** What two arms are compared by. */
export const twoArmMeasures = ['odds-ratio', 'risk-ratio', 'risk-difference', 'arcsine-difference'] as const;
export type TwoArmMeasure = (typeof twoArmMeasures)[number];

/** Ways of pooling two-arm counts that do not rest on each study's own normal approximation. */
export const twoArmMethodNames = [
  'mantel-haenszel',
  'peto',
  'arcsine-difference',
  'conditional-maximum-likelihood',
  'exact-conditional',
  'hypergeometric-normal',
  'binomial-normal-fixed-intercepts',
  'binomial-normal-random-intercepts',
  'beta-binomial',
] as const;
export type TwoArmMethodName = (typeof twoArmMethodNames)[number];

/** How the interval of the pooled effect is found. */
export const twoArmIntervals = ['wald', 'profile-likelihood', 'exact'] as const;
export type TwoArmInterval = (typeof twoArmIntervals)[number];

/** Variances of the Mantel-Haenszel risk difference. */
export const riskDifferenceVariances = ['sato', 'greenland-robins'] as const;
export type RiskDifferenceVariance = (typeof riskDifferenceVariances)[number];

/** Which tables an amount is added to. */
export const zeroCellTargets = ['tables-with-a-zero', 'every-table'] as const;
export type ZeroCellTarget = (typeof zeroCellTargets)[number];

/**
 * What is added to the cells before pooling: nothing; a stated amount; or amounts proportional to the
 * reciprocal of the other arm's size, adding up to 1 over the two arms.
 */
export type ZeroCells =
  | 'none'
  | { readonly addToEachCell: number; readonly to?: ZeroCellTarget }
  | 'treatment-arm-reciprocal';

export interface TwoArmOptions {
  readonly method: TwoArmMethodName;
  /** Default: the first measure the method allows. */
  readonly measure?: TwoArmMeasure;
  /** Coverage of the interval, default 0.95. */
  readonly level?: number;
  /** Common effect or random effects, where the method allows both. */
  readonly model?: PoolingModel;
  readonly interval?: TwoArmInterval;
  /** Mantel-Haenszel risk difference only; default `sato`. */
  readonly variance?: RiskDifferenceVariance;
  /** Mantel-Haenszel only; default `none`. */
  readonly zeroCells?: ZeroCells;
  /** Points of the quadrature in each dimension, where the method integrates; as many as it takes when not given. */
  readonly quadraturePoints?: number;
  /** Options of the two-step pooling behind the arcsine difference. */
  readonly twoStep?: Omit<PoolOptions, 'level' | 'model' | 'leftOut'>;
}

export interface ResolvedTwoArmOptions {
  readonly method: TwoArmMethodName;
  readonly measure: TwoArmMeasure;
  readonly level: number;
  readonly model: PoolingModel;
  readonly interval: TwoArmInterval;
  /** Undefined where the method has no choice of variance. */
  readonly variance: RiskDifferenceVariance | undefined;
  readonly zeroCells: ZeroCells;
  /** Tried in turn until the estimates settle; empty where the method does not integrate. */
  readonly quadraturePoints: readonly number[];
  readonly twoStep: Omit<PoolOptions, 'level' | 'model' | 'leftOut'> | undefined;
}

/** Option keys of {@link TwoArmOptions}, for errors that name them. */
export const twoArmOptionKeys = [
  'method',
  'measure',
  'level',
  'model',
  'interval',
  'variance',
  'zeroCells',
  'quadraturePoints',
  'twoStep',
] as const satisfies readonly (keyof TwoArmOptions)[];
