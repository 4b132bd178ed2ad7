import type { AnalysisScale } from '../../effects/analysisScale.ts';
import type { LeftOut } from '../../effects/estimate.ts';
import type { Interval } from '../../numerics/interval.ts';
import type { Caution } from '../../pooling/caution.ts';
import type { VarianceComponents } from '../../pooling/dependence/restrictedLikelihood.ts';
import type { NaturalSummary } from '../../pooling/pooledResult.ts';
import type { Covariate, CovariateValues, RegressionRow } from './covariate.ts';
import type { DroppedTerm, RegressionTerm } from './designMatrix.ts';

/** How the likeness of arms of one study enters standard errors. */
export const armDependences = ['cluster-robust', 'three-level'] as const;
export type ArmDependence = (typeof armDependences)[number];

export interface ArmRegressionOptions {
  /**
   * `cluster-robust` (default): standard errors from the residuals of whole studies, valid also when the model of
   * their likeness is wrong. `three-level`: from the model.
   */
  readonly dependence?: ArmDependence;
  readonly level?: number;
  /** Covariate values at which rates are wanted, with a name for each. */
  readonly at?: readonly ArmProfile[];
  readonly leftOut?: readonly LeftOut[];
}

export interface ArmProfile {
  readonly name: string;
  readonly values: CovariateValues;
}

/** One linear combination of the coefficients with its test. */
export interface RegressionContrast {
  readonly value: number;
  readonly standardError: number;
  readonly degreesOfFreedom: number;
  /** Two-sided p of zero. */
  readonly pValue: number;
  readonly interval: Interval;
  /** Present where one study alone tells this, so that standard error and interval come from the model. */
  readonly fromModel?: true;
}

export interface ArmCoefficient extends RegressionTerm, RegressionContrast {}

/** One level of a categorical covariate against another, all other covariates held equal. */
export interface LevelContrast extends RegressionContrast {
  readonly covariate: string;
  readonly level: string;
  readonly against: string;
  /** As an odds ratio on the logit scale, a risk ratio on the log scale; otherwise undefined. */
  readonly ratio: NaturalSummary | undefined;
}

export interface ArmPrediction extends RegressionContrast {
  readonly name: string;
  readonly values: CovariateValues;
  /** Where the next arm of the next study may lie. */
  readonly prediction: Interval;
  readonly natural: NaturalSummary | undefined;
}

export interface ArmRegressionFit {
  readonly status: 'converged' | 'not-converged';
  readonly coefficients: readonly ArmCoefficient[];
  readonly components: VarianceComponents;
  readonly contrasts: readonly LevelContrast[];
  readonly predictions: readonly ArmPrediction[];
  readonly rows: readonly RegressionRow[];
}

/** Arms of many studies, explained by where the tendon was fixed and by what else differed. */
export interface ArmRegression {
  readonly kind: 'arm-regression';
  readonly scale: AnalysisScale;
  readonly options: { readonly dependence: ArmDependence; readonly level: number };
  readonly covariates: readonly Covariate[];
  readonly references: Readonly<Record<string, string>>;
  readonly studies: number;
  /** Undefined when nothing could be fitted; the cautions say why. */
  readonly fit: ArmRegressionFit | undefined;
  readonly leftOut: readonly LeftOut[];
  readonly dropped: readonly DroppedTerm[];
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}
