import type { Caution } from './caution.ts';
import type { PooledSample, WeightedMean } from './pooledSample.ts';
import type { VarianceEstimator } from './poolOptions.ts';
import { derSimonianLaird } from './varianceEstimators/derSimonianLaird.ts';
import { empiricalBayes } from './varianceEstimators/empiricalBayes.ts';
import { hedgesOlkin } from './varianceEstimators/hedgesOlkin.ts';
import { hunterSchmidt } from './varianceEstimators/hunterSchmidt.ts';
import { maximumLikelihood, restrictedMaximumLikelihood } from './varianceEstimators/maximumLikelihood.ts';
import { pauleMandel } from './varianceEstimators/pauleMandel.ts';
import { sidikJonkman } from './varianceEstimators/sidikJonkman.ts';
import { twoStepDerSimonianLaird } from './varianceEstimators/twoStepDerSimonianLaird.ts';

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
  /**
   * Standard error of the estimator when the between-study variance is the one given; absent where no formula is
   * published. Where the estimate is 0 it is that of the estimator before it is cut off there.
   */
  readonly standardError?: (
    sample: PooledSample,
    common: WeightedMean,
    betweenStudyVariance: number,
  ) => number | undefined;
  /** The likelihood it maximises, if any. */
  readonly likelihood?: 'full' | 'restricted';
}

/** Every between-study variance estimator, by id. To add one: a file, its id in `varianceEstimators`, a line here. */
export const varianceEstimatorMethods: Readonly<Record<VarianceEstimator, VarianceEstimatorMethod>> = {
  'dersimonian-laird': derSimonianLaird,
  'two-step-dersimonian-laird': twoStepDerSimonianLaird,
  'paule-mandel': pauleMandel,
  'hedges-olkin': hedgesOlkin,
  'sidik-jonkman': sidikJonkman,
  'hunter-schmidt': hunterSchmidt,
  'maximum-likelihood': maximumLikelihood,
  'restricted-maximum-likelihood': restrictedMaximumLikelihood,
  'empirical-bayes': empiricalBayes,
};
