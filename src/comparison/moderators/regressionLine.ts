import { show } from '../../pooling/optionChecks.ts';
import type { CovariateValues } from './covariate.ts';
import type { MetaRegression } from './metaRegression.ts';
import { predictRegression, type RegressionPrediction } from './predictRegression.ts';

/** What a regression expects over the range of one covariate, the others held. */
export interface RegressionLine {
  readonly kind: 'regression-line';
  readonly regression: MetaRegression;
  readonly covariate: string;
  /** Values the other covariates are held at: those given, else the weighted mean or the reference level. */
  readonly held: CovariateValues;
  /** From the smallest to the largest value seen; empty when nothing was fitted. */
  readonly points: readonly RegressionPrediction[];
}

/**
 * How does the expected result move with one covariate, all else held equal?
 *
 * @param covariate a continuous covariate of the regression
 * @param at values of other covariates, where they are not to be the weighted mean or the reference level
 * @throws RangeError when the covariate is not a continuous one that is in the model
 * @example
 * regressionLine(regression, 'age', { site: 'tenotomy' })
 */
export function regressionLine(
  regression: MetaRegression,
  covariate: string,
  at: CovariateValues = {},
): RegressionLine {
  const { fit, covariates, references } = regression;
  const known = covariates.filter(({ kind }) => kind === 'continuous').map(({ id }) => id);
  if (!known.includes(covariate)) {
    throw new RangeError(
      `covariate must be one of ${known.join(', ') || 'none, the model has no continuous one'}, received ${show(covariate)}`,
    );
  }
  const held: CovariateValues = Object.fromEntries(
    covariates
      .filter(({ id }) => id !== covariate)
      .map(({ id, kind }) => {
        const mean = fit?.points.reduce((sum, row) => sum + row.weight * Number(row.covariates[id]), 0) ?? 0;
        return [id, at[id] ?? (kind === 'categorical' ? (references[id] ?? '') : mean)];
      }),
  );
  const seen = fit?.points.map((point) => Number(point.covariates[covariate])) ?? [];
  const inModel = fit?.coefficients.some(({ id }) => id === covariate) ?? false;
  const [least, most] = [Math.min(...seen), Math.max(...seen)];
  const steps = 40;
  return {
    kind: 'regression-line',
    regression,
    covariate,
    held,
    points: !inModel
      ? []
      : Array.from({ length: steps + 1 }, (_, step) =>
          predictRegression(regression, { ...held, [covariate]: least + ((most - least) * step) / steps }),
        ).filter((point) => point !== undefined),
  };
}
