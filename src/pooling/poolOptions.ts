import type { AnalysisScale } from '../effects/analysisScale.ts';
import type { LeftOut } from '../effects/estimate.ts';

/** Whether studies are taken to share one true value or to have values of their own around a mean. */
export const poolingModels = ['random-effects', 'common-effect'] as const;
export type PoolingModel = (typeof poolingModels)[number];

export const varianceEstimators = ['dersimonian-laird'] as const;
export type VarianceEstimator = (typeof varianceEstimators)[number];

export const meanIntervals = ['wald', 'hartung-knapp'] as const;
export type MeanInterval = (typeof meanIntervals)[number];

export const predictionIntervals = ['t-k-minus-2'] as const;
export type PredictionIntervalMethod = (typeof predictionIntervals)[number];

export interface PoolOptions {
  readonly model?: PoolingModel;
  readonly betweenStudyVariance?: VarianceEstimator;
  readonly interval?: MeanInterval;
  readonly prediction?: PredictionIntervalMethod;
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
  readonly level: number;
}
