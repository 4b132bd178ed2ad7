import type { Interval } from '../../numerics/interval.ts';
import { naturalSummary } from '../../pooling/naturalSummary.ts';
import type { NaturalSummary } from '../../pooling/pooledResult.ts';
import type { CovariateValues } from './covariate.ts';
import { designMatrix, designVector } from './designMatrix.ts';
import type { MetaRegression } from './metaRegression.ts';
import { reachOf } from './regressionInference.ts';
import { regressionSample } from './regressionSample.ts';
import { robustContrast } from './robustInference.ts';
import { weightedRegression } from './weightedRegression.ts';

/** What the regression says at chosen covariate values. */
export interface RegressionPrediction {
  readonly at: CovariateValues;
  /** Mean on the analysis scale, and where the mean may lie. */
  readonly value: number;
  readonly standardError: number;
  readonly interval: Interval;
  /** Where the next study with these values may lie; undefined below two rows more than coefficients. */
  readonly prediction: Interval | undefined;
  /** The same, back-transformed. */
  readonly natural: NaturalSummary | undefined;
  /** Covariates whose chosen value no row comes near: outside the range, or a level that no row has. */
  readonly outside: readonly string[];
}

/**
 * What rate (or effect) does the regression expect at these covariate values, and what may the next study show?
 *
 * `xᵀβ`, variance `xᵀCx`; the next study adds τ² and takes Student's t with one degree of freedom fewer, as the
 * pool's own prediction interval does. Where rows share a study the standard error is cluster-robust, as the coefficients' are,
 * and studies are counted in place of rows.
 *
 * @returns undefined when the regression could not be fitted; values outside those seen are named in `outside`
 * @throws RangeError for a covariate of the model without a value, or a value of the wrong kind
 *
 * Source: Higgins JPT, Thompson SG, Spiegelhalter DJ, J R Stat Soc A 2009;172:137-159, sections 4 and 5.
 *
 * @example
 * predictRegression(regression, { age: 55, site: 'tenotomy' })?.natural?.interval
 */
export function predictRegression(
  regression: MetaRegression,
  at: CovariateValues,
): RegressionPrediction | undefined {
  const { fit, covariates, scale, options } = regression;
  if (!fit) return undefined;
  const terms = fit.coefficients.slice(1);
  const vector = designVector({ terms }, covariates, at);
  let value = 0;
  let variance = 0;
  for (const [i, coefficient] of fit.coefficients.entries()) {
    value += vector[i]! * coefficient.value;
    for (let j = 0; j < vector.length; j++) variance += vector[i]! * fit.covariance[i]![j]! * vector[j]!;
  }
  const robust = options.test === 'cluster-robust' ? robustAt(regression, vector) : undefined;
  const standardError = robust?.standardError ?? Math.sqrt(Math.max(0, variance));
  const around = (halfWidth: number): Interval => ({
    lower: value - halfWidth,
    upper: value + halfWidth,
    level: options.level,
  });
  const interval = robust?.interval ?? around(reachOf(options.level, fit.degreesOfFreedom) * standardError);
  const units = robust ? regression.studies - fit.coefficients.length : fit.residual.degreesOfFreedom;
  const next = units - 1;
  const prediction =
    options.model === 'common-effect' || next < 1
      ? undefined
      : around(
          reachOf(options.level, next) *
            Math.sqrt(fit.residual.betweenStudyVariance + standardError * standardError),
        );
  return {
    at,
    value,
    standardError,
    interval,
    prediction,
    natural: naturalSummary(scale, value, interval, prediction, undefined),
    outside: covariates
      .filter(({ id }) => terms.some(({ covariate }) => covariate === id))
      .filter(({ id, kind }) => {
        const seen = fit.points.map((point) => point.covariates[id]!);
        if (kind === 'categorical') return !seen.includes(at[id]!);
        const numbers = seen.map(Number);
        return Number(at[id]) < Math.min(...numbers) || Number(at[id]) > Math.max(...numbers);
      })
      .map(({ id }) => id),
  };
}

/** The fit's weights again from its rows: a combination needs more than the covariance of the coefficients. */
function robustAt({ fit, covariates, options }: MetaRegression, vector: Float64Array) {
  const design = designMatrix(fit!.points, covariates);
  const sample = regressionSample(design);
  const used = options.model === 'common-effect' ? 0 : fit!.residual.betweenStudyVariance;
  return robustContrast(design, sample, weightedRegression(sample, used), options.level, vector);
}
