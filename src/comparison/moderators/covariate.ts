import type { Estimate } from '../../effects/estimate.ts';
import type { Reported } from '../../extraction/reported.ts';

/** A feature of studies or arms that may explain why their results differ. */
export type Covariate = ContinuousCovariate | CategoricalCovariate;

export interface ContinuousCovariate {
  readonly id: string;
  /** As printed, such as "Mean age". */
  readonly name: string;
  readonly kind: 'continuous';
  /** As printed behind a number, such as "years". */
  readonly unit?: string;
}

export interface CategoricalCovariate {
  readonly id: string;
  readonly name: string;
  readonly kind: 'categorical';
  /** The level the others are compared with; default the one with the most rows (of equals, the first by name). */
  readonly reference?: string;
  /** Names of levels as printed, where they differ from the values themselves. */
  readonly levelNames?: Readonly<Record<string, string>>;
}

/** A value by covariate id; "not reported" is a value of its own and is never replaced by a guess. */
export type CovariateValues = Readonly<Record<string, Reported<number | string>>>;

/** One estimate with the features it may be explained by. */
export interface RegressionRow {
  readonly estimate: Estimate;
  readonly covariates: CovariateValues;
}

/** The name of a level as printed. */
export const levelName = (covariate: CategoricalCovariate, level: string): string =>
  covariate.levelNames?.[level] ?? level;
