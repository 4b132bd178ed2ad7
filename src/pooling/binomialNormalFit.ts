import type { Interval } from '../numerics/interval.ts';
import type { HomogeneityTest } from './homogeneityTest.ts';

/** Intervals of the binomial-normal model's rates. */
export const binomialNormalIntervals = ['wald', 'profile-likelihood'] as const;
export type BinomialNormalInterval = (typeof binomialNormalIntervals)[number];

/** The binomial-normal model fitted to the counts themselves: the check that needs no correction at zero. */
export interface BinomialNormalFit {
  readonly kind: 'binomial-normal-fit';
  readonly status:
    | 'converged'
    | 'boundary'
    | 'one-study'
    | 'not-converged'
    | 'no-events'
    | 'all-events'
    | 'nothing-to-pool';
  /** Why the status is what it is, in words; for `converged` only where a second, lower peak was found. */
  readonly reason: string | undefined;
  /** Mean on the logit scale and its standard error. */
  readonly mean: number | undefined;
  readonly standardError: number | undefined;
  /** Between-study standard deviation on the logit scale; undefined for one study, which cannot tell. */
  readonly betweenStudyDeviation: number | undefined;
  /** Of the deviation, from the observed information of both; undefined for one study and at a deviation of zero. */
  readonly deviationStandardError: number | undefined;
  readonly logLikelihood: number | undefined;
  /** Likelihood-ratio test of one rate for all studies; undefined for one study. */
  readonly likelihoodRatio: HomogeneityTest | undefined;
  /** Rate in a study at the mean (the median study), 0 to 1, with its interval. */
  readonly rate: number | undefined;
  readonly interval: Interval | undefined;
  /**
   * Mean over studies of their rates, 0 to 1, with its interval: what to expect of a shoulder in a study not seen, where
   * `rate` is what half of all studies lie above. Undefined for one study.
   */
  readonly meanOfStudies: { readonly rate: number; readonly interval: Interval | undefined } | undefined;
  /** How both intervals were made. */
  readonly intervalMethod: BinomialNormalInterval;
  /** Rate to expect in the next study. */
  readonly prediction: Interval | undefined;
  /** How each study's likelihood was integrated: `trapezoidal` where Gauss-Hermite proved too coarse. */
  readonly quadrature: 'gauss-hermite' | 'trapezoidal';
  readonly quadraturePoints: number;
  readonly level: number;
}

/** Why nothing is said of how studies differ, where all counts come from one. */
export const oneStudyOnly =
  'All of this comes from one study: how much studies differ cannot be known, and the interval covers chance within that study only.';
