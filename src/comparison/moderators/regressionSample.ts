import type { DesignMatrix } from './designMatrix.ts';

/**
 * Values, variances and columns laid out for arithmetic.
 *
 * The columns are turned into a set of unit columns at right angles to each other (X = B R). Fitting on B gives the
 * same fitted values whatever the units and zero points of the covariates, and loses no digits to a year of 2014
 * beside a share of 0.3; coefficients are turned back through R.
 */
export interface RegressionSample {
  readonly count: number;
  /** Columns, the intercept included. */
  readonly width: number;
  /** Mean of the values, taken away before arithmetic. */
  readonly centre: number;
  readonly distances: Float64Array;
  readonly variances: Float64Array;
  /** B, row by row, `count × width`. */
  readonly basis: Float64Array;
  /** R⁻¹, row by row, `width × width`, upper triangular: coefficients are R⁻¹ times those on B. */
  readonly back: Float64Array;
}

/** Lays out the rows of a design whose columns are independent. */
export function regressionSample({
  rows,
  columns,
}: Pick<DesignMatrix, 'rows' | 'columns'>): RegressionSample {
  const count = rows.length;
  const width = columns.length;
  const centre = rows.reduce((sum, { estimate }) => sum + estimate.value, 0) / count;
  const distances = Float64Array.from(rows, ({ estimate }) => estimate.value - centre);
  const variances = Float64Array.from(rows, ({ estimate }) => estimate.variance);
  const basis = new Float64Array(count * width);
  const triangle = new Float64Array(width * width);
  for (let column = 0; column < width; column++) {
    const rest = Float64Array.from(columns[column]!);
    for (let pass = 0; pass < 2; pass++) {
      for (let earlier = 0; earlier < column; earlier++) {
        let share = 0;
        for (let row = 0; row < count; row++) share += rest[row]! * basis[row * width + earlier]!;
        for (let row = 0; row < count; row++) rest[row]! -= share * basis[row * width + earlier]!;
        triangle[earlier * width + column]! += share;
      }
    }
    let square = 0;
    for (let row = 0; row < count; row++) square += rest[row]! ** 2;
    const length = Math.sqrt(square);
    triangle[column * width + column] = length;
    for (let row = 0; row < count; row++) basis[row * width + column] = rest[row]! / length;
  }
  return { count, width, centre, distances, variances, basis, back: invertUpper(triangle, width) };
}

function invertUpper(triangle: Float64Array, width: number): Float64Array {
  const inverse = new Float64Array(width * width);
  for (let column = 0; column < width; column++) {
    inverse[column * width + column] = 1 / triangle[column * width + column]!;
    for (let row = column - 1; row >= 0; row--) {
      let sum = 0;
      for (let k = row + 1; k <= column; k++)
        sum += triangle[row * width + k]! * inverse[k * width + column]!;
      inverse[row * width + column] = -sum / triangle[row * width + row]!;
    }
  }
  return inverse;
}
