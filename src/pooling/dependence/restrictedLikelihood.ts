import { cholesky, choleskyInverse } from '../../numerics/cholesky.ts';
import type { StudyCluster } from './studyClusters.ts';

/** Variance between studies, and between the estimates of one study. */
export interface VarianceComponents {
  readonly betweenStudies: number;
  readonly withinStudies: number;
}

/** Everything Fisher scoring needs at one pair of variances. */
export interface LikelihoodPoint {
  readonly components: VarianceComponents;
  readonly logLikelihood: number;
  readonly mean: number;
  readonly standardError: number;
  /** Derivatives by betweenStudies and withinStudies. */
  readonly score: readonly [number, number];
  /** Expected information: between-between, between-within, within-within. */
  readonly information: readonly [number, number, number];
}

/**
 * How likely are these two variances, and which way is up?
 *
 * Each study's estimates have covariance Ω = V + withinStudies·I + betweenStudies·J (J all ones). With one mean
 * for all, the restricted log-likelihood is
 * −½[(N−1) ln 2π + Σ ln|Ω| + ln Σ1ᵀΩ⁻¹1 + Σ(y−μ)ᵀΩ⁻¹(y−μ)]; without restriction the term ln Σ1ᵀΩ⁻¹1 is left out and
 * N−1 becomes N.
 *
 * @see Patterson HD, Thompson R. Biometrika 1971;58:545-554. Harville DA. J Am Stat Assoc 1977;72:320-338,
 *   section 4 (score and expected information).
 */
export function likelihoodPoint(
  clusters: readonly StudyCluster[],
  components: VarianceComponents,
  restricted: boolean,
): LikelihoodPoint | undefined {
  const { betweenStudies, withinStudies } = components;
  const centre = clusters[0]!.values[0]!;
  let count = 0;
  let logDeterminant = 0;
  let weight = 0;
  let weightedValue = 0;
  const parts: { inverse: Float64Array; size: number; sums: Float64Array; shifted: Float64Array }[] = [];
  for (const { values, covariance } of clusters) {
    const size = values.length;
    const matrix = Float64Array.from(covariance, (entry) => entry + betweenStudies);
    for (let row = 0; row < size; row++) matrix[row * size + row]! += withinStudies;
    const factor = cholesky(matrix, size);
    if (!factor) return undefined;
    const inverse = choleskyInverse(factor);
    const shifted = values.map((value) => value - centre);
    const sums = new Float64Array(size);
    for (let row = 0; row < size; row++) {
      for (let column = 0; column < size; column++) sums[row]! += inverse[row * size + column]!;
      weight += sums[row]!;
      weightedValue += sums[row]! * shifted[row]!;
    }
    logDeterminant += factor.logDeterminant;
    count += size;
    parts.push({ inverse, size, sums, shifted });
  }
  const shiftedMean = weightedValue / weight;

  let residualSquares = 0;
  // Pieces of the score and the information, summed over studies; names say which product they are.
  let traceInverse = 0;
  let traceInverseSquared = 0;
  let totalOfInverse = 0;
  let totalOfInverseSquared = 0;
  let totalCubed = 0;
  let sumsSquared = 0;
  let sumsInverseSums = 0;
  let sumsSquaredTimesTotal = 0;
  let projectedSquares = 0;
  let projectedTotalsSquared = 0;
  for (const { inverse, size, sums, shifted } of parts) {
    let total = 0;
    let squares = 0;
    let projectedTotal = 0;
    for (let row = 0; row < size; row++) {
      let projected = 0;
      let inverseSums = 0;
      for (let column = 0; column < size; column++) {
        const entry = inverse[row * size + column]!;
        projected += entry * (shifted[column]! - shiftedMean);
        inverseSums += entry * sums[column]!;
        traceInverseSquared += entry * entry;
      }
      residualSquares += projected * (shifted[row]! - shiftedMean);
      projectedSquares += projected * projected;
      projectedTotal += projected;
      traceInverse += inverse[row * size + row]!;
      total += sums[row]!;
      squares += sums[row]! * sums[row]!;
      sumsInverseSums += sums[row]! * inverseSums;
    }
    projectedTotalsSquared += projectedTotal ** 2;
    totalOfInverse += total;
    totalOfInverseSquared += total ** 2;
    totalCubed += total ** 3;
    sumsSquared += squares;
    sumsSquaredTimesTotal += squares * total;
  }
  const r = restricted ? 1 / weight : 0;
  return {
    components,
    mean: centre + shiftedMean,
    standardError: Math.sqrt(1 / weight),
    logLikelihood:
      -0.5 *
      ((restricted ? count - 1 : count) * Math.log(2 * Math.PI) +
        logDeterminant +
        (restricted ? Math.log(weight) : 0) +
        residualSquares),
    score: [
      -0.5 * (totalOfInverse - r * totalOfInverseSquared - projectedTotalsSquared),
      -0.5 * (traceInverse - r * sumsSquared - projectedSquares),
    ],
    information: [
      0.5 * (totalOfInverseSquared - 2 * r * totalCubed + (r * totalOfInverseSquared) ** 2),
      0.5 * (sumsSquared - 2 * r * sumsSquaredTimesTotal + r * r * sumsSquared * totalOfInverseSquared),
      0.5 * (traceInverseSquared - 2 * r * sumsInverseSums + (r * sumsSquared) ** 2),
    ],
  };
}
