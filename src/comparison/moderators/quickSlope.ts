import type { RegressionSample } from './regressionSample.ts';

/**
 * The slope of the (restricted) likelihood in the residual variance, from sums alone, for scanning a grid: one pass
 * over the rows, no memory taken. Where the fit leaves next to nothing it loses digits that
 * {@link residualLikelihood} keeps, so that only the sign at a distance from a peak is to be read off it.
 */
export function quickSlope(sample: RegressionSample, restricted: boolean): (variance: number) => number {
  const { count, width, distances, variances, basis } = sample;
  const first = new Float64Array(width * width);
  const second = new Float64Array(width * width);
  const lift = new Float64Array(width);
  const secondLift = new Float64Array(width);
  const column = new Float64Array(width);
  const coefficients = new Float64Array(width);

  /** Solves L Lᵀ x = column in place, L in the lower triangle of `first`. */
  const solve = (x: Float64Array): void => {
    for (let i = 0; i < width; i++) {
      for (let k = 0; k < i; k++) x[i]! -= first[i * width + k]! * x[k]!;
      x[i]! /= first[i * width + i]!;
    }
    for (let i = width - 1; i >= 0; i--) {
      for (let k = i + 1; k < width; k++) x[i]! -= first[k * width + i]! * x[k]!;
      x[i]! /= first[i * width + i]!;
    }
  };

  return (variance) => {
    first.fill(0);
    second.fill(0);
    lift.fill(0);
    secondLift.fill(0);
    let weights = 0;
    let squares = 0;
    for (let row = 0; row < count; row++) {
      const weight = 1 / (variances[row]! + variance);
      const value = distances[row]!;
      const start = row * width;
      weights += weight;
      squares += weight * value * (weight * value);
      for (let i = 0; i < width; i++) {
        const weighted = weight * basis[start + i]!;
        lift[i]! += weighted * value;
        secondLift[i]! += weight * weighted * value;
        for (let j = 0; j <= i; j++) {
          const product = weighted * basis[start + j]!;
          first[i * width + j]! += product;
          second[i * width + j]! += weight * product;
        }
      }
    }
    for (let i = 0; i < width; i++) {
      for (let j = 0; j <= i; j++) {
        let sum = first[i * width + j]!;
        for (let k = 0; k < j; k++) sum -= first[i * width + k]! * first[j * width + k]!;
        first[i * width + j] = i === j ? Math.sqrt(sum) : sum / first[j * width + j]!;
        second[j * width + i] = second[i * width + j]!;
      }
    }
    coefficients.set(lift);
    solve(coefficients);
    let fall = squares;
    let expected = weights;
    for (let i = 0; i < width; i++) {
      fall -= 2 * coefficients[i]! * secondLift[i]!;
      for (let j = 0; j < width; j++) fall += coefficients[i]! * second[i * width + j]! * coefficients[j]!;
    }
    if (restricted) {
      for (let i = 0; i < width; i++) {
        for (let j = 0; j < width; j++) column[j] = second[j * width + i]!;
        solve(column);
        expected -= column[i]!;
      }
    }
    return -0.5 * (expected - fall);
  };
}
