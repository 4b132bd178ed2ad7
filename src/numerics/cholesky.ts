/** A factorised symmetric positive definite matrix: what a weighted sum of squares needs of a covariance. */
export interface CholeskyFactor {
  readonly size: number;
  /** Lower triangle, row by row, `size × size`. */
  readonly lower: Float64Array;
  /** Natural logarithm of the determinant. */
  readonly logDeterminant: number;
}

/**
 * Is this symmetric matrix a covariance, and if so what is its lower-triangular root L with L Lᵀ = matrix?
 *
 * @param matrix row-major, `size × size`; only the lower triangle is read.
 * @returns undefined when the matrix is not positive definite.
 * @see Golub GH, Van Loan CF. Matrix Computations, 4th ed. 2013, section 4.2.
 * @example
 * cholesky(new Float64Array([4, 2, 2, 3]), 2)?.logDeterminant // ln 8
 */
export function cholesky(matrix: Float64Array, size: number): CholeskyFactor | undefined {
  const lower = new Float64Array(size * size);
  let logDeterminant = 0;
  for (let row = 0; row < size; row++) {
    for (let column = 0; column <= row; column++) {
      let sum = matrix[row * size + column]!;
      for (let k = 0; k < column; k++) sum -= lower[row * size + k]! * lower[column * size + k]!;
      if (row === column) {
        if (!(sum > 0)) return undefined;
        lower[row * size + row] = Math.sqrt(sum);
        logDeterminant += Math.log(sum);
      } else {
        lower[row * size + column] = sum / lower[column * size + column]!;
      }
    }
  }
  return { size, lower, logDeterminant };
}

/**
 * What x solves (L Lᵀ) x = right?
 *
 * @example
 * choleskySolve(cholesky(new Float64Array([2, 0, 0, 4]), 2)!, new Float64Array([2, 4])) // [1, 1]
 */
export function choleskySolve(factor: CholeskyFactor, right: Float64Array): Float64Array {
  const { size, lower } = factor;
  const x = Float64Array.from(right);
  for (let row = 0; row < size; row++) {
    for (let k = 0; k < row; k++) x[row]! -= lower[row * size + k]! * x[k]!;
    x[row]! /= lower[row * size + row]!;
  }
  for (let row = size - 1; row >= 0; row--) {
    for (let k = row + 1; k < size; k++) x[row]! -= lower[k * size + row]! * x[k]!;
    x[row]! /= lower[row * size + row]!;
  }
  return x;
}

/** The inverse of L Lᵀ, row-major. */
export function choleskyInverse(factor: CholeskyFactor): Float64Array {
  const { size } = factor;
  const inverse = new Float64Array(size * size);
  const unit = new Float64Array(size);
  for (let column = 0; column < size; column++) {
    unit.fill(0);
    unit[column] = 1;
    const x = choleskySolve(factor, unit);
    for (let row = 0; row < size; row++) inverse[row * size + column] = x[row]!;
  }
  return inverse;
}
