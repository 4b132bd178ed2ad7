import type { AnalysisScale } from '../../effects/analysisScale.ts';
import type { LeftOut } from '../../effects/estimate.ts';
import type { Interval } from '../../numerics/interval.ts';
import type { Caution } from '../../pooling/caution.ts';
import type { PoolingModel, VarianceEstimator } from '../../pooling/poolOptions.ts';
import type { Covariate, RegressionRow } from './covariate.ts';
import type { DroppedTerm, RegressionTerm } from './designMatrix.ts';

export const regressionTests = [
  'knapp-hartung',
  'truncated-knapp-hartung',
  'wald',
  'cluster-robust',
] as const;
export type RegressionTest = (typeof regressionTests)[number];

export const fewStudiesRules = ['caution', 'refuse'] as const;
export type FewStudiesRule = (typeof fewStudiesRules)[number];

/** A variance taken from elsewhere, such as the model without covariates. */
export interface GivenVariance {
  readonly given: number;
}

export interface MetaRegressionOptions {
  readonly model?: PoolingModel;
  /** How the variance left between studies is estimated, or its value; default `restricted-maximum-likelihood`. */
  readonly betweenStudyVariance?: VarianceEstimator | GivenVariance;
  /**
   * Default `knapp-hartung` where every row comes from a study of its own; `cluster-robust` where one study gives several,
   * which are not independent of each other.
   */
  readonly test?: RegressionTest;
  /** Below this many studies for each column beside the intercept the result warns or is refused; default 10. */
  readonly studiesPerCovariate?: number;
  /** Default `caution`. */
  readonly fewStudies?: FewStudiesRule;
  readonly level?: number;
  /** Rows already left out upstream, carried along so that they stay visible. */
  readonly leftOut?: readonly LeftOut[];
}

export interface ResolvedMetaRegressionOptions {
  readonly model: PoolingModel;
  readonly betweenStudyVariance: VarianceEstimator | GivenVariance;
  readonly test: RegressionTest;
  readonly studiesPerCovariate: number;
  readonly fewStudies: FewStudiesRule;
  readonly level: number;
}

export interface RegressionCoefficient extends RegressionTerm {
  readonly value: number;
  readonly standardError: number;
  /** Value over standard error. */
  readonly statistic: number;
  /** Of Student's t; undefined where the normal distribution is used. */
  readonly degreesOfFreedom: number | undefined;
  /** Two-sided p of no effect. */
  readonly pValue: number;
  readonly interval: Interval;
  /** Cluster-robust, but one study alone tells this, so that standard error and interval come from the model. */
  readonly fromModel?: true;
}

/** Do these columns explain anything together? F where a denominator is given, chi-square otherwise. */
export interface JointTest {
  /** The covariate tested, or `all`. */
  readonly covariate: string;
  readonly statistic: number;
  readonly distribution: 'F' | 'chi-square';
  readonly numerator: number;
  readonly denominator: number | undefined;
  readonly pValue: number;
}

/** What the covariates leave unexplained. */
export interface ResidualHeterogeneity {
  /** Weighted residual squares with weights 1/v. */
  readonly q: number;
  readonly degreesOfFreedom: number;
  readonly pValue: number;
  readonly betweenStudyVariance: number;
  /** Q-profile; undefined when no variance fits. */
  readonly betweenStudyVarianceInterval: Interval | undefined;
  /** Share of the variation around the fit that is not chance: max(0, (Q - df) / Q). */
  readonly iSquared: number;
}

/** One row as the model sees it. */
export interface RegressionPoint extends RegressionRow {
  readonly fitted: number;
  readonly residual: number;
  /** Residual over its standard deviation under the model; undefined for a row the fit must pass through. */
  readonly standardisedResidual: number | undefined;
  /** Share of its own fitted value the row decides, 0 to 1. */
  readonly leverage: number;
  /** How far all fitted values move without the row, in squared standard errors for each column. */
  readonly cookDistance: number | undefined;
  /** Share of the total weight. */
  readonly weight: number;
}

export interface RegressionFit {
  readonly coefficients: readonly RegressionCoefficient[];
  /** Covariance of the coefficients, in their order. */
  readonly covariance: readonly (readonly number[])[];
  /**
   * Degrees of freedom of tests and intervals; undefined under the normal distribution, and where each coefficient has
   * its own (cluster-robust).
   */
  readonly degreesOfFreedom: number | undefined;
  /** Covariates whose joint test has no answer (too few studies for cluster-robust errors) are not among them. */
  readonly jointTests: readonly JointTest[];
  readonly residual: ResidualHeterogeneity;
  /** Between-study variance of the same rows without covariates, by the same estimator. */
  readonly varianceWithoutCovariates: number;
  /**
   * Share of the between-study variance the covariates explain, 0 to 1: `max(0, 1 - τ² with / τ² without)`;
   * undefined when there was none to explain. Unsteady with few studies.
   */
  readonly varianceExplained: number | undefined;
  readonly points: readonly RegressionPoint[];
}

/** What explains the differences between studies, as far as they can tell. */
export interface MetaRegression {
  readonly kind: 'meta-regression';
  readonly scale: AnalysisScale;
  readonly options: ResolvedMetaRegressionOptions;
  readonly covariates: readonly Covariate[];
  /** Reference level by categorical covariate. */
  readonly references: Readonly<Record<string, string>>;
  /** Distinct studies among the rows fitted. */
  readonly studies: number;
  /** Undefined when nothing could be fitted; the cautions say why. */
  readonly fit: RegressionFit | undefined;
  readonly leftOut: readonly LeftOut[];
  readonly dropped: readonly DroppedTerm[];
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}

/** Said wherever a slope between studies is shown. */
export const betweenStudyContrast =
  'Studies, not patients, are compared: whatever else differs between them moves with the covariate, so an association here is not the effect of changing it.';
