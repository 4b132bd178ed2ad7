import type { AnalysisScale } from '../../effects/analysisScale.ts';
import type { Interval } from '../../numerics/interval.ts';
import type { Caution } from '../../pooling/caution.ts';
import type { NaturalSummary } from '../../pooling/pooledResult.ts';
import type { BivariateUnit } from './bivariateUnits.ts';

export const bivariateEstimators = ['restricted-maximum-likelihood', 'maximum-likelihood'] as const;
export type BivariateEstimator = (typeof bivariateEstimators)[number];

export const bivariateIntervals = ['wald', 'scaled'] as const;
export type BivariateInterval = (typeof bivariateIntervals)[number];

export interface BivariateOptions {
  readonly estimator?: BivariateEstimator;
  /** `wald` (default), or `scaled`: widened by the scatter seen, with Student's t, as Hartung and Knapp do. */
  readonly interval?: BivariateInterval;
  /**
   * Correlation of the sampling errors of one arm's two outcomes: papers do not print it, so it must be stated, and
   * varied. Default 0.
   */
  readonly correlationWithinStudy?: number;
  readonly level?: number;
}

/** One outcome's mean in the joint model. */
export interface BivariateMean {
  readonly value: number;
  readonly standardError: number;
  readonly interval: Interval;
  readonly natural: NaturalSummary | undefined;
  readonly betweenStudyVariance: number;
}

/** Where both means may lie together, as points around the region's edge. */
export interface JointRegion {
  readonly level: number;
  /** On the natural scale, first outcome then second; closed (the last point is the first). */
  readonly edge: readonly (readonly [number, number])[];
}

/** Two outcomes, one model. */
export interface BivariateFit {
  readonly kind: 'bivariate-fit';
  readonly scale: AnalysisScale;
  readonly options: Required<BivariateOptions>;
  readonly units: readonly BivariateUnit[];
  /** Units that report both outcomes, the first only, the second only. */
  readonly reported: { readonly both: number; readonly firstOnly: number; readonly secondOnly: number };
  readonly studies: number;
  /** Undefined when there is too little to fit; the cautions say why. */
  readonly fit:
    | {
        readonly status: 'converged' | 'not-converged';
        readonly first: BivariateMean;
        readonly second: BivariateMean;
        /** Of the two means: how the uncertainty of one goes with the other's. */
        readonly correlationOfMeans: number;
        /** Of the true values between studies; undefined where one of them does not vary. */
        readonly correlationBetweenStudies: number | undefined;
        readonly covariance: readonly [number, number, number];
        readonly logLikelihood: number;
        readonly region: JointRegion | undefined;
      }
    | undefined;
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}
