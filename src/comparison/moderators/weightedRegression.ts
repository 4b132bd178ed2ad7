import { type CholeskyFactor, cholesky, choleskyInverse } from '../../numerics/cholesky.ts';
import type { RegressionSample } from './regressionSample.ts';

/** A weighted regression at one residual between-study variance, on the sample's basis. */
export interface WeightedRegression {
  readonly betweenStudyVariance: number;
  /** Coefficients on the basis. */
  readonly coefficients: Float64Array;
  /** (BᵀWB)⁻¹, row by row. */
  readonly inverse: Float64Array;
  readonly logDeterminant: number;
  readonly residuals: Float64Array;
  /** Generalised Q: yᵀPy, the weighted squared residuals. */
  readonly q: number;
  /** Minus the slope of Q in the variance: yᵀPPy. */
  readonly fall: number;
}

/**
 * How do the values depend on the columns, given a residual between-study variance?
 *
 * `w = 1 / (v + τ²)`, `γ = (BᵀWB)⁻¹ BᵀWy`, `P = W - WB (BᵀWB)⁻¹ BᵀW`, `Q(τ²) = yᵀPy`, `-dQ/dτ² = yᵀPPy`.
 *
 * @param weights overrides the weights, for unweighted (least-squares) fits
 *
 * Source: DerSimonian R, Kacker R, Contemp Clin Trials 2007;28:105-114; Berkey CS et al., Stat Med 1995;14:395-411.
 */
export function weightedRegression(
  sample: RegressionSample,
  betweenStudyVariance: number,
  weights?: Float64Array,
): WeightedRegression {
  const { count, width, distances, variances, basis } = sample;
  const weightOf = (row: number): number => weights?.[row] ?? 1 / (variances[row]! + betweenStudyVariance);
  const square = new Float64Array(width * width);
  const right = new Float64Array(width);
  for (let row = 0; row < count; row++) {
    const weight = weightOf(row);
    const start = row * width;
    for (let i = 0; i < width; i++) {
      const weighted = weight * basis[start + i]!;
      right[i]! += weighted * distances[row]!;
      for (let j = 0; j <= i; j++) square[i * width + j]! += weighted * basis[start + j]!;
    }
  }
  const factor = factorOf(square, width);
  const inverse = choleskyInverse(factor);
  const coefficients = new Float64Array(width);
  for (let i = 0; i < width; i++) {
    for (let j = 0; j < width; j++) coefficients[i]! += inverse[i * width + j]! * right[j]!;
  }
  const residuals = new Float64Array(count);
  let q = 0;
  let fall = 0;
  for (let row = 0; row < count; row++) {
    let residual = distances[row]!;
    for (let i = 0; i < width; i++) residual -= coefficients[i]! * basis[row * width + i]!;
    residuals[row] = residual;
    const weight = weightOf(row);
    const contribution = weight * residual * residual;
    q += contribution;
    fall += weight * contribution;
  }
  return {
    betweenStudyVariance,
    coefficients,
    inverse,
    logDeterminant: factor.logDeterminant,
    residuals,
    q,
    fall,
  };
}

/** Traces of P and its products at one variance: what moments and likelihoods expect Q to be. */
export interface ProjectionTraces {
  /** tr P */
  readonly trace: number;
  /** tr PP */
  readonly traceSquared: number;
  /** tr PV, with V the sampling variances. */
  readonly traceSampling: number;
}

/** `tr P = Σw - tr(A⁻¹BᵀW²B)`, `tr PP = Σw² - 2 tr(A⁻¹BᵀW³B) + tr((A⁻¹BᵀW²B)²)`, `A = BᵀWB`. */
export function projectionTraces(
  sample: RegressionSample,
  { betweenStudyVariance, inverse }: WeightedRegression,
  weights?: Float64Array,
): ProjectionTraces {
  const { count, width, variances, basis } = sample;
  const second = new Float64Array(width * width);
  let trace = 0;
  let traceSquared = 0;
  let traceSampling = 0;
  for (let row = 0; row < count; row++) {
    const weight = weights?.[row] ?? 1 / (variances[row]! + betweenStudyVariance);
    const start = row * width;
    // The leverage of the row over its weight.
    let reach = 0;
    for (let i = 0; i < width; i++) {
      for (let j = 0; j < width; j++) {
        reach += basis[start + i]! * inverse[i * width + j]! * basis[start + j]!;
        second[i * width + j]! += weight * weight * basis[start + i]! * basis[start + j]!;
      }
    }
    const own = weight * (1 - weight * reach);
    trace += own;
    traceSampling += own * variances[row]!;
    traceSquared += weight * weight * (1 - 2 * weight * reach);
  }
  const product = new Float64Array(width * width);
  for (let i = 0; i < width; i++) {
    for (let j = 0; j < width; j++) {
      for (let k = 0; k < width; k++)
        product[i * width + j]! += inverse[i * width + k]! * second[k * width + j]!;
    }
  }
  for (let i = 0; i < width; i++) {
    for (let j = 0; j < width; j++) traceSquared += product[i * width + j]! * product[j * width + i]!;
  }
  return { trace, traceSquared, traceSampling };
}

function factorOf(square: Float64Array, width: number): CholeskyFactor {
  const factor = cholesky(square, width);
  if (!factor) {
    throw new RangeError(
      'weights of the rows must be comparable: one study outweighs the others so far that the covariates cannot be told apart',
    );
  }
  return factor;
}
