import {
  normalQuantile,
  normalUpperTail,
  studentTQuantile,
  studentTUpperTail,
} from '../../numerics/distributions.ts';
import type { RegressionTerm } from './designMatrix.ts';
import type { RegressionCoefficient, RegressionTest } from './metaRegression.ts';
import type { RegressionSample } from './regressionSample.ts';
import type { WeightedRegression } from './weightedRegression.ts';

/** How the covariance of the coefficients is scaled, and which distribution their tests use. */
export interface RegressionInference {
  readonly test: RegressionTest;
  /** What (XᵀWX)⁻¹ is multiplied by. */
  readonly scaling: number;
  readonly degreesOfFreedom: number | undefined;
}

/**
 * Knapp-Hartung: `s² = Q(τ²) / (k - p)`, truncated at one on request; Wald: 1. When the fit leaves no scatter at all,
 * the untruncated scale would claim certainty, and 1 is used.
 *
 * Source: Knapp G, Hartung J, Stat Med 2003;22:2693-2710, equation 9; Röver C et al., BMC Med Res Methodol 2015;15:99.
 */
export function inferenceOf(
  sample: RegressionSample,
  weighted: WeightedRegression,
  test: RegressionTest,
): RegressionInference {
  // Cluster-robust errors scale themselves, each with its own degrees of freedom.
  if (test === 'wald' || test === 'cluster-robust') return { test, scaling: 1, degreesOfFreedom: undefined };
  const degreesOfFreedom = sample.count - sample.width;
  const scatter = weighted.q / degreesOfFreedom;
  const scaling = test === 'truncated-knapp-hartung' ? Math.max(1, scatter) : scatter > 1e-20 ? scatter : 1;
  return { test, scaling, degreesOfFreedom };
}

/** Two-sided p of a statistic under the inference's distribution. */
export const twoSided = (statistic: number, degreesOfFreedom: number | undefined): number =>
  2 *
  (degreesOfFreedom === undefined
    ? normalUpperTail(Math.abs(statistic))
    : studentTUpperTail(Math.abs(statistic), degreesOfFreedom));

/** Standard errors an interval reaches to each side. */
export const reachOf = (level: number, degreesOfFreedom: number | undefined): number =>
  degreesOfFreedom === undefined
    ? normalQuantile(1 - (1 - level) / 2)
    : studentTQuantile(1 - (1 - level) / 2, degreesOfFreedom);

/** Coefficients in the covariates' own units, from those on the basis: `β = R⁻¹γ`, covariance `R⁻¹ C R⁻ᵀ`. */
export function regressionCoefficients(
  sample: RegressionSample,
  weighted: WeightedRegression,
  { scaling, degreesOfFreedom }: RegressionInference,
  terms: readonly RegressionTerm[],
  level: number,
): { coefficients: RegressionCoefficient[]; covariance: number[][] } {
  const { width, centre } = sample;
  const covariance = inOwnUnits(sample, weighted.inverse).map((row) => row.map((entry) => entry * scaling));
  const reach = reachOf(level, degreesOfFreedom);
  const named: RegressionTerm[] = [{ id: 'intercept', covariate: 'intercept', name: 'Intercept' }, ...terms];
  const coefficients = named.map((term, index): RegressionCoefficient => {
    let value = index === 0 ? centre : 0;
    for (let k = 0; k < width; k++) value += sample.back[index * width + k]! * weighted.coefficients[k]!;
    const standardError = Math.sqrt(covariance[index]![index]!);
    const statistic = value / standardError;
    return {
      ...term,
      value,
      standardError,
      statistic,
      degreesOfFreedom,
      pValue: twoSided(statistic, degreesOfFreedom),
      interval: { lower: value - reach * standardError, upper: value + reach * standardError, level },
    };
  });
  return { coefficients, covariance };
}

/** `R⁻¹ C R⁻ᵀ` for a covariance C on the basis. */
export function inOwnUnits({ width, back }: RegressionSample, onBasis: Float64Array): number[][] {
  const half = new Float64Array(width * width);
  for (let i = 0; i < width; i++) {
    for (let j = 0; j < width; j++) {
      for (let k = i; k < width; k++) half[i * width + j]! += back[i * width + k]! * onBasis[k * width + j]!;
    }
  }
  return Array.from({ length: width }, (_, i) =>
    Array.from({ length: width }, (_, j) => {
      let sum = 0;
      for (let k = j; k < width; k++) sum += half[i * width + k]! * back[j * width + k]!;
      return sum;
    }),
  );
}
