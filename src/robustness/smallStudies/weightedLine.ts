import { studentTQuantile, studentTUpperTail } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';

/** One coefficient of a line with its t-test. */
export interface Coefficient {
  readonly value: number;
  readonly standardError: number;
  readonly interval: Interval;
  /** Undefined where the points lie on the line exactly. */
  readonly t: number | undefined;
  readonly pValue: number | undefined;
}

export interface WeightedLine {
  readonly intercept: Coefficient;
  readonly slope: Coefficient;
  readonly degreesOfFreedom: number;
  /** Residual variance per unit of weight. */
  readonly dispersion: number;
}

/**
 * Which line runs through the points by weighted least squares, and how sure are its ends?
 *
 * `y = a + b x`, weights w, dispersion `Σ w e² / (k - 2)` estimated, t with k - 2 degrees of freedom.
 *
 * Source: Draper NR, Smith H, Applied Regression Analysis, 3rd ed. 1998, sections 1.4 and 9.2.
 *
 * @returns undefined below three points and where all x are the same
 */
export function weightedLine(
  x: readonly number[],
  y: readonly number[],
  weights: readonly number[],
  level: number,
): WeightedLine | undefined {
  const count = x.length;
  if (count < 3) return undefined;
  const sum = (of: (i: number) => number): number => {
    let total = 0;
    for (let i = 0; i < count; i++) total += weights[i]! * of(i);
    return total;
  };
  const weight = sum(() => 1);
  const meanX = sum((i) => x[i]!) / weight;
  const meanY = sum((i) => y[i]!) / weight;
  const spread = sum((i) => (x[i]! - meanX) ** 2);
  const largest = Math.max(...x.map(Math.abs));
  if (!(spread > 1e-24 * weight * largest * largest)) return undefined;
  const slope = sum((i) => (x[i]! - meanX) * (y[i]! - meanY)) / spread;
  const intercept = meanY - slope * meanX;
  const degreesOfFreedom = count - 2;
  const dispersion = sum((i) => (y[i]! - meanY - slope * (x[i]! - meanX)) ** 2) / degreesOfFreedom;
  const quantile = -studentTQuantile((1 - level) / 2, degreesOfFreedom);
  const coefficient = (value: number, variance: number): Coefficient => {
    const standardError = Math.sqrt(variance);
    const t = standardError > 0 ? value / standardError : undefined;
    const margin = quantile * standardError;
    return {
      value,
      standardError,
      interval: { lower: value - margin, upper: value + margin, level },
      t,
      pValue: t === undefined ? undefined : 2 * studentTUpperTail(Math.abs(t), degreesOfFreedom),
    };
  };
  return {
    intercept: coefficient(intercept, dispersion * (1 / weight + (meanX * meanX) / spread)),
    slope: coefficient(slope, dispersion / spread),
    degreesOfFreedom,
    dispersion,
  };
}
