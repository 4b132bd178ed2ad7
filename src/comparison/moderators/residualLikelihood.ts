import { findRoot } from '../../numerics/rootFinding.ts';
import { quickSlope } from './quickSlope.ts';
import type { RegressionSample } from './regressionSample.ts';
import { weightedRegression } from './weightedRegression.ts';

const gridPoints = 40;

/** The (restricted) log-likelihood of a residual between-study variance, coefficients at their best. */
export interface ResidualLikelihood {
  readonly betweenStudyVariance: number;
  /** Up to a constant that depends on the columns only. */
  readonly logLikelihood: number;
  readonly slope: number;
}

/**
 * How likely is this residual variance, and which way is up?
 *
 * `ℓ = -½ [Σ ln(v + τ²) + Q(τ²)]`, restricted `+ ln |BᵀWB|` inside the bracket; slope `-½ [Σ w - yᵀPPy]`, restricted
 * `-½ [tr P - yᵀPPy]`.
 *
 * Source: Raudenbush SW, in: The Handbook of Research Synthesis and Meta-Analysis, 2nd ed. 2009, chapter 16;
 * Patterson HD, Thompson R, Biometrika 1971;58:545-554.
 */
export function residualLikelihood(
  sample: RegressionSample,
  betweenStudyVariance: number,
  restricted: boolean,
): ResidualLikelihood {
  const fit = weightedRegression(sample, betweenStudyVariance);
  const { count, width, variances, basis } = sample;
  let logs = 0;
  let expected = 0;
  for (let row = 0; row < count; row++) {
    const total = variances[row]! + betweenStudyVariance;
    const weight = 1 / total;
    logs += Math.log(total);
    let reach = 0;
    if (restricted) {
      for (let i = 0; i < width; i++) {
        for (let j = 0; j < width; j++)
          reach += basis[row * width + i]! * fit.inverse[i * width + j]! * basis[row * width + j]!;
      }
    }
    expected += weight * (1 - weight * reach);
  }
  return {
    betweenStudyVariance,
    logLikelihood: -0.5 * (logs + fit.q + (restricted ? fit.logDeterminant : 0)),
    slope: -0.5 * (expected - fit.fall),
  };
}

/**
 * Where does the likelihood of the residual variance peak? All peaks, highest first.
 *
 * The slope is followed over a geometric grid from far below the smallest sampling variance to four times the
 * squared range of the values; every change from rising to falling is solved to rounding.
 */
export function residualLikelihoodPeaks(
  sample: RegressionSample,
  restricted: boolean,
): readonly ResidualLikelihood[] {
  const at = (variance: number): ResidualLikelihood => residualLikelihood(sample, variance, restricted);
  const atZero = at(0);
  const range = Math.max(...sample.distances) - Math.min(...sample.distances);
  const top = 4 * range * range;
  if (!(top > 0)) return [atZero];
  const bottom = Math.min(1e-4 * Math.min(...sample.variances), 1e-6 * top);
  const ratio = (top / bottom) ** (1 / (gridPoints - 1));
  const slopeAt = (variance: number): number => at(variance).slope;
  const quick = quickSlope(sample, restricted);
  const peaks: ResidualLikelihood[] = [];
  if (atZero.slope <= 0) peaks.push(atZero);
  let lower = 0;
  let lowerSlope = atZero.slope;
  for (let step = 0; step < gridPoints; step++) {
    const upper = bottom * ratio ** step;
    const upperSlope = quick(upper);
    // The quick slope finds the place, the careful one decides and solves.
    if (lowerSlope > 0 && upperSlope <= 0 && slopeAt(lower) > 0 && slopeAt(upper) <= 0)
      peaks.push(at(findRoot(slopeAt, lower, upper).root));
    lower = upper;
    lowerSlope = upperSlope;
  }
  if (peaks.length === 0) peaks.push(at(lower));
  return peaks.sort((a, b) => b.logLikelihood - a.logLikelihood);
}
