import { normalCumulative, normalDensity, normalQuantile } from '../../numerics/distributions.ts';

/** Studies with the steps of their one-sided p-values laid out for the likelihood. */
export interface SelectionData {
  readonly values: Float64Array;
  readonly variances: Float64Array;
  readonly intervals: number;
  /** Interval of the p-scale each study fell in, 0 for the smallest p. */
  readonly fellIn: Uint8Array;
  /** Lower value limit of interval j for study i at `i * intervals + j`; minus infinity for the last. */
  readonly limits: Float64Array;
  readonly counts: readonly number[];
}

/**
 * @param values in the direction in which small p-values are taken to be favoured
 * @param steps one-sided p-values between 0 and 1, rising
 */
export function selectionData(
  values: readonly number[],
  variances: readonly number[],
  steps: readonly number[],
): SelectionData {
  const intervals = steps.length + 1;
  const quantiles = steps.map((p) => -normalQuantile(p));
  const limits = new Float64Array(values.length * intervals);
  const fellIn = new Uint8Array(values.length);
  const counts = new Array<number>(intervals).fill(0);
  for (let i = 0; i < values.length; i++) {
    const deviation = Math.sqrt(variances[i]!);
    let interval = 0;
    for (let j = 0; j < steps.length; j++) {
      limits[i * intervals + j] = deviation * quantiles[j]!;
      if (values[i]! < limits[i * intervals + j]!) interval = j + 1;
    }
    limits[i * intervals + steps.length] = Number.NEGATIVE_INFINITY;
    fellIn[i] = interval;
    counts[interval]! += 1;
  }
  return {
    values: Float64Array.from(values),
    variances: Float64Array.from(variances),
    intervals,
    fellIn,
    limits,
    counts,
  };
}

/**
 * Log-likelihood of mean, between-study deviation and log relative weights, with its slopes.
 *
 * Study i has density `δ φ((y - μ) / s) / (s A)`, `s² = v + τ²`, `A = Σ δⱼ Bⱼ` with Bⱼ the probability of interval j;
 * the first δ is 1. Parameters: μ, τ (either sign, only its square counts), ln δ₂, ln δ₃, …
 *
 * Source: Vevea JL, Hedges LV, Psychometrika 1995;60:419-435, equations 4 to 6.
 */
export function selectionLikelihood(
  { values, variances, intervals, fellIn, limits }: SelectionData,
  at: ArrayLike<number>,
  slopes: Float64Array,
): number {
  const mean = at[0]!;
  const deviation = at[1]!;
  slopes.fill(0);
  let logLikelihood = 0;
  for (let i = 0; i < values.length; i++) {
    const square = variances[i]! + deviation * deviation;
    const s = Math.sqrt(square);
    const residual = values[i]! - mean;
    const interval = fellIn[i]!;
    let total = 0;
    let byMean = 0;
    let byDeviation = 0;
    let below = 1;
    let densityAbove = 0;
    let leverAbove = 0;
    for (let j = 0; j < intervals; j++) {
      const limit = limits[i * intervals + j]!;
      const u = (limit - mean) / s;
      const last = limit === Number.NEGATIVE_INFINITY;
      const cumulative = last ? 0 : normalCumulative(u);
      const density = last ? 0 : normalDensity(u);
      const lever = last ? 0 : density * u;
      const relative = j === 0 ? 1 : Math.exp(at[j + 1]!);
      total += relative * (below - cumulative);
      byMean += (relative * (density - densityAbove)) / s;
      byDeviation += (relative * (lever - leverAbove) * deviation) / square;
      below = cumulative;
      densityAbove = density;
      leverAbove = lever;
    }
    below = 1;
    for (let j = 0; j < intervals; j++) {
      const limit = limits[i * intervals + j]!;
      const cumulative = limit === Number.NEGATIVE_INFINITY ? 0 : normalCumulative((limit - mean) / s);
      if (j > 0)
        slopes[j + 1]! += (j === interval ? 1 : 0) - (Math.exp(at[j + 1]!) * (below - cumulative)) / total;
      below = cumulative;
    }
    logLikelihood +=
      (interval === 0 ? 0 : at[interval + 1]!) -
      0.5 * Math.log(2 * Math.PI * square) -
      (0.5 * residual * residual) / square -
      Math.log(total);
    slopes[0]! += residual / square - byMean / total;
    slopes[1]! += (-deviation + (residual * residual * deviation) / square) / square - byDeviation / total;
  }
  return logLikelihood;
}
