import { cholesky, choleskyInverse } from '../../numerics/cholesky.ts';
import type { VarianceComponents } from '../../pooling/dependence/restrictedLikelihood.ts';
import type { StudyCluster } from '../../pooling/dependence/studyClusters.ts';
import type { RegressionSample } from './regressionSample.ts';

/** A regression of dependent rows at one pair of variances. */
export interface ClusteredPoint {
  readonly components: VarianceComponents;
  /** Coefficients on the basis, with (BᵀΩ⁻¹B)⁻¹ row by row. */
  readonly coefficients: Float64Array;
  readonly inverse: Float64Array;
  /** Inverse of each study's covariance, row by row, in the clusters' order. */
  readonly weights: readonly Float64Array[];
  /** Up to a constant of the columns. */
  readonly logLikelihood: number;
  readonly score: readonly [number, number];
  readonly information: readonly [number, number, number];
}

/**
 * How likely are these variances between studies and within them, with several columns in the model?
 *
 * Each study's rows have covariance Ω = V + withinStudies·I + betweenStudies·J. With P = Ω⁻¹ - Ω⁻¹B(BᵀΩ⁻¹B)⁻¹BᵀΩ⁻¹ the
 * restricted log-likelihood is `-½ [ln|Ω| + ln|BᵀΩ⁻¹B| + yᵀPy]`, its slopes `-½ [tr PD - yᵀPDPy]` and its expected
 * information `½ tr PDPD'`, D being ZZᵀ (between) or I (within).
 *
 * Source: Harville DA, J Am Stat Assoc 1977;72:320-338, section 4.
 */
export function clusteredPoint(
  sample: RegressionSample,
  clusters: readonly StudyCluster[],
  components: VarianceComponents,
): ClusteredPoint | undefined {
  const { count, width, basis, distances } = sample;
  const weights: Float64Array[] = [];
  // Ω⁻¹B and Ω⁻¹y, row by row.
  const weightedBasis = new Float64Array(count * width);
  const weightedValues = new Float64Array(count);
  let logDeterminant = 0;
  for (const { positions, covariance } of clusters) {
    const size = positions.length;
    const matrix = Float64Array.from(covariance, (entry) => entry + components.betweenStudies);
    for (let row = 0; row < size; row++) matrix[row * size + row]! += components.withinStudies;
    const factor = cholesky(matrix, size);
    if (!factor) return undefined;
    logDeterminant += factor.logDeterminant;
    const inverse = choleskyInverse(factor);
    weights.push(inverse);
    for (let a = 0; a < size; a++) {
      for (let b = 0; b < size; b++) {
        const entry = inverse[a * size + b]!;
        weightedValues[positions[a]!]! += entry * distances[positions[b]!]!;
        for (let i = 0; i < width; i++)
          weightedBasis[positions[a]! * width + i]! += entry * basis[positions[b]! * width + i]!;
      }
    }
  }
  const square = new Float64Array(width * width);
  const right = new Float64Array(width);
  for (let row = 0; row < count; row++) {
    for (let i = 0; i < width; i++) {
      right[i]! += weightedBasis[row * width + i]! * distances[row]!;
      for (let j = 0; j < width; j++)
        square[i * width + j]! += basis[row * width + i]! * weightedBasis[row * width + j]!;
    }
  }
  const factor = cholesky(square, width);
  if (!factor) return undefined;
  const inverse = choleskyInverse(factor);
  const coefficients = new Float64Array(width);
  for (let i = 0; i < width; i++) {
    for (let j = 0; j < width; j++) coefficients[i]! += inverse[i * width + j]! * right[j]!;
  }

  // P, row by row, block weights less the part the columns explain; Py beside it.
  const projection = new Float64Array(count * count);
  for (const [index, { positions }] of clusters.entries()) {
    const size = positions.length;
    for (let a = 0; a < size; a++) {
      for (let b = 0; b < size; b++)
        projection[positions[a]! * count + positions[b]!] = weights[index]![a * size + b]!;
    }
  }
  const half = new Float64Array(count * width);
  const projected = Float64Array.from(weightedValues);
  let q = 0;
  for (let row = 0; row < count; row++) {
    for (let i = 0; i < width; i++) {
      projected[row]! -= weightedBasis[row * width + i]! * coefficients[i]!;
      for (let j = 0; j < width; j++)
        half[row * width + i]! += weightedBasis[row * width + j]! * inverse[j * width + i]!;
    }
    q += projected[row]! * distances[row]!;
  }
  for (let row = 0; row < count; row++) {
    for (let column = 0; column < count; column++) {
      let explained = 0;
      for (let i = 0; i < width; i++)
        explained += half[row * width + i]! * weightedBasis[column * width + i]!;
      projection[row * count + column]! -= explained;
    }
  }
  return {
    components,
    coefficients,
    inverse,
    weights,
    logLikelihood: -0.5 * (logDeterminant + factor.logDeterminant + q),
    ...slopes(clusters, projection, projected, count),
  };
}

function slopes(
  clusters: readonly StudyCluster[],
  projection: Float64Array,
  projected: Float64Array,
  count: number,
): Pick<ClusteredPoint, 'score' | 'information'> {
  const groups = clusters.length;
  // PZ: P summed over the rows of each study.
  const byStudy = new Float64Array(count * groups);
  let traceWithin = 0;
  let within = 0;
  for (let row = 0; row < count; row++) {
    for (let column = 0; column < count; column++) within += projection[row * count + column]! ** 2;
    traceWithin += projection[row * count + row]!;
    for (const [index, { positions }] of clusters.entries()) {
      for (const position of positions) byStudy[row * groups + index]! += projection[row * count + position]!;
    }
  }
  let cross = 0;
  for (const entry of byStudy) cross += entry * entry;
  let between = 0;
  let traceBetween = 0;
  let betweenSquares = 0;
  for (const [first, { positions }] of clusters.entries()) {
    let total = 0;
    for (const position of positions) total += projected[position]!;
    betweenSquares += total * total;
    for (let second = 0; second < groups; second++) {
      let entry = 0;
      for (const position of positions) entry += byStudy[position * groups + second]!;
      between += entry * entry;
      if (first === second) traceBetween += entry;
    }
  }
  const withinSquares = projected.reduce((sum, value) => sum + value * value, 0);
  return {
    score: [-0.5 * (traceBetween - betweenSquares), -0.5 * (traceWithin - withinSquares)],
    information: [0.5 * between, 0.5 * cross, 0.5 * within],
  };
}
