import { cholesky, choleskySolve } from '../../numerics/cholesky.ts';
import { betaCumulative, chiSquareUpperTail } from '../../numerics/distributions.ts';
import type { RegressionTerm } from './designMatrix.ts';
import type { JointTest } from './metaRegression.ts';
import { inOwnUnits, type RegressionInference } from './regressionInference.ts';
import type { RegressionSample } from './regressionSample.ts';
import type { WeightedRegression } from './weightedRegression.ts';

/**
 * Does a covariate with all its levels, or all covariates together, explain anything?
 *
 * `βᵀ C⁻¹ β` over the m columns: chi-square with m degrees of freedom under Wald; divided by m, F with m and k - p
 * under Knapp-Hartung.
 *
 * Source: Knapp G, Hartung J, Stat Med 2003;22:2693-2710, section 3.
 */
export function jointTests(
  sample: RegressionSample,
  weighted: WeightedRegression,
  inference: RegressionInference,
  terms: readonly RegressionTerm[],
): JointTest[] {
  return covariateTerms(terms).map(({ covariate, positions }) =>
    jointTest(covariate, quadraticForm(sample, weighted, positions), positions.length, inference),
  );
}

/** The columns of each covariate, and of all of them together. */
export function covariateTerms(
  terms: readonly RegressionTerm[],
): readonly { readonly covariate: string; readonly positions: readonly number[] }[] {
  const covariates = [...new Set(terms.map(({ covariate }) => covariate))];
  return [...covariates, ...(terms.length > 0 ? ['all'] : [])].map((covariate) => ({
    covariate,
    positions: terms.flatMap((term, index) =>
      covariate === 'all' || term.covariate === covariate ? [index + 1] : [],
    ),
  }));
}

function jointTest(
  covariate: string,
  form: number,
  numerator: number,
  { scaling, degreesOfFreedom }: RegressionInference,
): JointTest {
  if (degreesOfFreedom === undefined) {
    return {
      covariate,
      statistic: form,
      distribution: 'chi-square',
      numerator,
      denominator: undefined,
      pValue: chiSquareUpperTail(form, numerator),
    };
  }
  const statistic = form / scaling / numerator;
  return {
    covariate,
    statistic,
    distribution: 'F',
    numerator,
    denominator: degreesOfFreedom,
    pValue: fUpperTail(statistic, numerator, degreesOfFreedom),
  };
}

/** Upper tail of the F distribution through the incomplete beta function. */
export const fUpperTail = (statistic: number, numerator: number, denominator: number): number =>
  statistic <= 0
    ? 1
    : betaCumulative(denominator / (denominator + numerator * statistic), denominator / 2, numerator / 2);

/** βᵀ C⁻¹ β over some columns, C unscaled. Solved after each column is brought to unit variance. */
function quadraticForm(
  sample: RegressionSample,
  weighted: WeightedRegression,
  positions: readonly number[],
): number {
  const { width, back } = sample;
  const covariance = inOwnUnits(sample, weighted.inverse);
  const deviations = positions.map((position) => Math.sqrt(covariance[position]![position]!));
  const size = positions.length;
  const matrix = new Float64Array(size * size);
  const right = new Float64Array(size);
  for (const [i, row] of positions.entries()) {
    let value = 0;
    for (let k = 0; k < width; k++) value += back[row * width + k]! * weighted.coefficients[k]!;
    right[i] = value / deviations[i]!;
    for (const [j, column] of positions.entries())
      matrix[i * size + j] = covariance[row]![column]! / (deviations[i]! * deviations[j]!);
  }
  const factor = cholesky(matrix, size);
  if (!factor) throw new RangeError(`covariance of the ${size} coefficients must be positive definite`);
  return choleskySolve(factor, right).reduce((sum, value, index) => sum + value * right[index]!, 0);
}
