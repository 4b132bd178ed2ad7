import type { BinomialStudy } from './binomialStudy.ts';
import { conditionalNormal } from './conditionalNormal.ts';
import { logMeanPrior, type MeanPrior } from './meanPrior.ts';

/** The posterior of the mean for one between-study standard deviation, on an even grid. */
export interface MeanSlice {
  readonly start: number;
  readonly step: number;
  /** Log of prior of the mean times likelihood at each grid point. */
  readonly logDensity: Float64Array;
  /** Each study's log averaged likelihood at each grid point: study after study. */
  readonly logStudies: Float64Array;
  /** Log of the integral over the mean. */
  readonly logMarginal: number;
  readonly mean: number;
  readonly deviation: number;
}

/** Where to look for the mean: logits with half an event added to both cells, used for nothing but that. */
export interface StartingPoint {
  readonly values: Float64Array;
  readonly variances: Float64Array;
}

const negligible = 36;
const mostPoints = 4000;

/**
 * Integrates over the mean for one between-study standard deviation.
 *
 * Given τ the posterior of the mean is log-concave (products of log-concave functions, averaged over a normal:
 * Prékopa 1973), so it has one peak and the grid can stop on either side once it has fallen far enough. The
 * trapezoid rule on an even grid converges exponentially here; the step is a fraction of the standard deviation
 * found, and the grid is laid anew when the first guess of it was off.
 *
 * @param perDeviation grid points per posterior standard deviation
 */
export function meanSlice(
  studies: readonly BinomialStudy[],
  prior: MeanPrior,
  start: StartingPoint,
  betweenStudyDeviation: number,
  perDeviation: number,
): MeanSlice {
  const guess = conditionalNormal(start.values, start.variances, prior, betweenStudyDeviation);
  let centre = guess.mean;
  // With few events the posterior can be wide and yet end in an edge of the likelihood's own width.
  const edge = Math.hypot(1, betweenStudyDeviation) / (0.8 * perDeviation);
  let step = Math.min(edge, guess.deviation / perDeviation);
  for (let attempt = 0; ; attempt++) {
    const slice = layGrid(studies, prior, betweenStudyDeviation, centre, step);
    const points = slice.deviation / step;
    const fineEnough = points > 0.85 * perDeviation;
    if (attempt >= 12 || (fineEnough && (points < 1.7 * perDeviation || step > 0.6 * edge))) return slice;
    centre = slice.mean;
    // Below about one point a standard deviation the value found means little: go down step by step.
    step = points < 0.7 ? step / 4 : Math.min(edge, slice.deviation / perDeviation);
  }
}

function layGrid(
  studies: readonly BinomialStudy[],
  prior: MeanPrior,
  deviation: number,
  centre: number,
  step: number,
): MeanSlice {
  const count = studies.length;
  const evaluate = (index: number): Float64Array => {
    const mean = centre + index * step;
    // First the sum, then every study's own part.
    const column = new Float64Array(count + 1);
    let sum = logMeanPrior(prior, mean);
    for (let study = 0; study < count; study++) {
      const value = studies[study]!.logAverage(mean, deviation);
      column[study + 1] = value;
      sum += value;
    }
    column[0] = sum;
    return column;
  };
  const middle = evaluate(0);
  let peak = middle[0]!;
  const walk = (direction: 1 | -1): Float64Array[] => {
    const columns: Float64Array[] = [];
    let before = middle[0]!;
    for (let index = 1; index < mostPoints; index++) {
      const column = evaluate(direction * index);
      const value = column[0]!;
      columns.push(column);
      peak = Math.max(peak, value);
      if (value < peak - negligible && value <= before) break;
      before = value;
    }
    return columns;
  };
  const right = walk(1);
  const left = walk(-1);
  const columns = [...left.reverse(), middle, ...right];
  const points = columns.length;
  const first = centre - columns.indexOf(middle) * step;
  const logDensity = new Float64Array(points);
  const logStudies = new Float64Array(points * count);
  let total = 0;
  let weighted = 0;
  for (let index = 0; index < points; index++) {
    const column = columns[index]!;
    logDensity[index] = column[0]!;
    for (let study = 0; study < count; study++) logStudies[study * points + index] = column[study + 1]!;
    const density = Math.exp(column[0]! - peak);
    total += density;
    weighted += density * (first + index * step);
  }
  const mean = weighted / total;
  let squares = 0;
  for (let index = 0; index < points; index++) {
    squares += Math.exp(logDensity[index]! - peak) * (first + index * step - mean) ** 2;
  }
  return {
    start: first,
    step,
    logDensity,
    logStudies,
    logMarginal: peak + Math.log(step * total),
    mean,
    deviation: Math.sqrt(squares / total),
  };
}

const interpolationPoints = 8;
const interpolationWeights = [1, -7, 21, -35, 35, -21, 7, -1];

/**
 * Value between the points of an even grid, by the polynomial through the eight nearest points; −Infinity
 * outside the grid (where a log density has fallen away).
 *
 * Source: Berrut JP, Trefethen LN. SIAM Rev 2004;46:501-517 (barycentric form).
 */
export function interpolate(values: Float64Array, start: number, step: number, x: number): number {
  const position = (x - start) / step;
  const last = values.length - 1;
  if (!(position >= 0 && position <= last)) return Number.NEGATIVE_INFINITY;
  const points = Math.min(interpolationPoints, values.length);
  const first = Math.max(0, Math.min(last - points + 1, Math.floor(position) - points / 2 + 1));
  let numerator = 0;
  let denominator = 0;
  for (let index = 0; index < points; index++) {
    const distance = position - first - index;
    if (Math.abs(distance) < 1e-9) return values[first + index]!;
    const weight = interpolationWeights[index]! / distance;
    numerator += weight * values[first + index]!;
    denominator += weight;
  }
  return numerator / denominator;
}
