import type { AnalysisScale } from '../effects/analysisScale.ts';
import type { LeftOut } from '../effects/estimate.ts';

/** Whether studies are taken to share one true value or to have values of their own around a mean. */
export const poolingModels = ['random-effects', 'common-effect'] as const;
export type PoolingModel = (typeof poolingModels)[number];

export const varianceEstimators = [
  'dersimonian-laird',
  'two-step-dersimonian-laird',
  'paule-mandel',
  'hedges-olkin',
  'sidik-jonkman',
  'hunter-schmidt',
  'maximum-likelihood',
  'restricted-maximum-likelihood',
  'empirical-bayes',
] as const;
export type VarianceEstimator = (typeof varianceEstimators)[number];

export const meanIntervals = [
  'wald',
  'student-t',
  'hartung-knapp',
  'truncated-hartung-knapp',
  'profile-likelihood',
  'bartlett-profile-likelihood',
] as const;
export type MeanInterval = (typeof meanIntervals)[number];

export const varianceIntervals = [
  'q-profile',
  'generalised-q',
  'profile-likelihood',
  'profile-restricted-likelihood',
  'likelihood-wald',
] as const;
export type VarianceInterval = (typeof varianceIntervals)[number];

export const predictionIntervals = [
  't-k-minus-2',
  't-k-minus-1',
  'hartung-knapp',
  't-k-minus-1-hartung-knapp',
  'bootstrap',
] as const;
export type PredictionIntervalMethod = (typeof predictionIntervals)[number];

export interface BootstrapOptions {
  readonly draws: number;
  readonly seed: number;
}

export interface PoolOptions {
  readonly model?: PoolingModel;
  readonly betweenStudyVariance?: VarianceEstimator;
  readonly interval?: MeanInterval;
  readonly prediction?: PredictionIntervalMethod;
  /** Interval of the between-study variance, default `q-profile`. */
  readonly varianceInterval?: VarianceInterval;
  /** Draws and seed of the bootstrap prediction interval, default 5,000 draws from seed 1. */
  readonly bootstrap?: BootstrapOptions;
  /** Coverage of every interval, default 0.95. */
  readonly level?: number;
  /** Scale the estimates must be on; needed only to name the scale of an empty pool, which is else `plain`. */
  readonly scale?: AnalysisScale;
  /** Studies already left out upstream, carried into the result so that they stay visible. */
  readonly leftOut?: readonly LeftOut[];
}

export interface ResolvedPoolOptions {
  readonly model: PoolingModel;
  readonly betweenStudyVariance: VarianceEstimator;
  readonly interval: MeanInterval;
  readonly prediction: PredictionIntervalMethod;
  readonly varianceInterval: VarianceInterval;
  /** Present when the prediction interval is bootstrapped. */
  readonly bootstrap?: BootstrapOptions;
  readonly level: number;
}
