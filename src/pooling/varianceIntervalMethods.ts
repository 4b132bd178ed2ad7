import type { Interval } from '../numerics/interval.ts';
import type { PooledSample, WeightedMean } from './pooledSample.ts';
import type { VarianceEstimator, VarianceInterval } from './poolOptions.ts';
import { generalisedQ } from './varianceIntervals/generalisedQ.ts';
import { likelihoodWald } from './varianceIntervals/likelihoodWald.ts';
import { profileLikelihood, profileRestrictedLikelihood } from './varianceIntervals/profileLikelihood.ts';
import { qProfile } from './varianceIntervals/qProfile.ts';

/** What an interval of the between-study variance is made from. */
export interface VarianceIntervalInput {
  readonly sample: PooledSample;
  /** The sample at a between-study variance of zero. */
  readonly common: WeightedMean;
  readonly level: number;
  /** The point estimate, and the estimator it came from. */
  readonly estimate: number;
  readonly estimator: VarianceEstimator;
}

/** One way to put an interval around the between-study variance. */
export interface VarianceIntervalMethod {
  readonly id: VarianceInterval;
  /** As printed in a methods sentence. */
  readonly name: string;
  readonly source: string;
  /** Limits, zero or more; undefined where the method has no answer. */
  readonly interval: (input: VarianceIntervalInput) => Interval | undefined;
}

/** Every interval of the between-study variance, by id. To add one: a file, its id in `varianceIntervals`, a line here. */
export const varianceIntervalMethods: Readonly<Record<VarianceInterval, VarianceIntervalMethod>> = {
  'q-profile': qProfile,
  'generalised-q': generalisedQ,
  'profile-likelihood': profileLikelihood,
  'profile-restricted-likelihood': profileRestrictedLikelihood,
  'likelihood-wald': likelihoodWald,
};
