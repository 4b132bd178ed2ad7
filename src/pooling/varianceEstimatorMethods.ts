import type { Caution } from './caution.ts';
import type { PooledSample, WeightedMean } from './pooledSample.ts';
import type { VarianceEstimator } from './poolOptions.ts';
import { derSimonianLaird } from './varianceEstimators/derSimonianLaird.ts';

/** One way to estimate the between-study variance. */
export interface VarianceEstimatorMethod {
  readonly id: VarianceEstimator;
  /** As printed in a methods sentence. */
  readonly name: string;
  readonly source: string;
  /**
   * @param sample two or more studies
   * @param common the same studies at a between-study variance of zero
   * @returns the variance, zero or more, and anything a reader must be told
   */
  readonly estimate: (
    sample: PooledSample,
    common: WeightedMean,
  ) => { readonly value: number; readonly cautions?: readonly Caution[] };
}

/** Every between-study variance estimator, by id. To add one: a file, its id in `varianceEstimators`, a line here. */
export const varianceEstimatorMethods: Readonly<Record<VarianceEstimator, VarianceEstimatorMethod>> = {
  'dersimonian-laird': derSimonianLaird,
};
