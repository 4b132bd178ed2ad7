import { hartungKnapp, truncatedHartungKnapp } from './meanIntervals/hartungKnapp.ts';
import { bartlettProfileLikelihood, profileLikelihood } from './meanIntervals/profileLikelihood.ts';
import { studentT } from './meanIntervals/studentT.ts';
import { wald } from './meanIntervals/wald.ts';
import type { PooledSample, WeightedMean } from './pooledSample.ts';
import type { MeanInterval } from './poolOptions.ts';

/** One way to put an interval around the pooled mean. */
export interface MeanIntervalMethod {
  readonly id: MeanInterval;
  /** As printed in a methods sentence. */
  readonly name: string;
  readonly source: string;
  /**
   * Standard error of the mean and how many of them the interval reaches to each side; undefined where the
   * method has no answer (one study, or no scatter to estimate from).
   */
  readonly reach: (sample: PooledSample, mean: WeightedMean, level: number) => MeanReach | undefined;
  /** Two-sided p-value of the test the interval inverts, for a true mean `distance` from the sample's centre. */
  readonly pValue: (sample: PooledSample, mean: WeightedMean, distance: number) => number | undefined;
}

export interface MeanReach {
  readonly standardError: number;
  /** Distance from the mean down to the lower limit, and up to the upper one. */
  readonly below: number;
  readonly above: number;
}

/** Every interval for the mean, by id. To add one: a file, its id in `meanIntervals`, a line here. */
export const meanIntervalMethods: Readonly<Record<MeanInterval, MeanIntervalMethod>> = {
  wald,
  'student-t': studentT,
  'hartung-knapp': hartungKnapp,
  'truncated-hartung-knapp': truncatedHartungKnapp,
  'profile-likelihood': profileLikelihood,
  'bartlett-profile-likelihood': bartlettProfileLikelihood,
};
