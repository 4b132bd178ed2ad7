import type { Estimate } from '../../effects/estimate.ts';
import { cholesky } from '../../numerics/cholesky.ts';

/** Sampling covariance of two estimates of the same study. */
export type CovarianceWithinStudy = (first: Estimate, second: Estimate) => number;

/** The estimates of one study with their sampling covariance. */
export interface StudyCluster {
  readonly study: string;
  /** Positions in the list of estimates the clusters were made from. */
  readonly positions: readonly number[];
  readonly values: Float64Array;
  /** Row-major sampling covariance. */
  readonly covariance: Float64Array;
}

/**
 * Which estimates belong to the same study, and how do their sampling errors move together?
 *
 * @param estimates any number per study; studies are told apart by `study`.
 * @param covariance for two estimates of one study: a function giving their covariance, or one correlation
 *   r, −1 < r < 1, used as r·√(v₁v₂) for every pair; 0 takes the sampling errors as independent.
 * @throws RangeError when the correlation is outside its range or a study's matrix is not a covariance.
 * @example
 * studyClusters(estimates, 0.5)
 */
export function studyClusters(
  estimates: readonly Estimate[],
  covariance: CovarianceWithinStudy | number,
): readonly StudyCluster[] {
  if (typeof covariance === 'number' && !(covariance > -1 && covariance < 1)) {
    throw new RangeError(`correlation must lie between -1 and 1, received ${covariance}`);
  }
  const positionsByStudy = new Map<string, number[]>();
  estimates.forEach(({ study }, position) => {
    const positions = positionsByStudy.get(study);
    if (positions) positions.push(position);
    else positionsByStudy.set(study, [position]);
  });
  return [...positionsByStudy].map(([study, positions]) => {
    const members = positions.map((position) => estimates[position]!);
    const size = members.length;
    const matrix = new Float64Array(size * size);
    members.forEach((first, row) => {
      members.forEach((second, column) => {
        matrix[row * size + column] =
          row === column
            ? first.variance
            : typeof covariance === 'number'
              ? covariance * Math.sqrt(first.variance * second.variance)
              : covariance(first, second);
      });
    });
    if (!cholesky(matrix, size)) {
      throw new RangeError(
        `covariance within study ${study} must be positive definite, received [${Array.from(matrix).join(', ')}]`,
      );
    }
    return { study, positions, values: Float64Array.from(members, ({ value }) => value), covariance: matrix };
  });
}
