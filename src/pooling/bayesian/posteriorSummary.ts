import type { PosteriorDistribution, PosteriorSummary } from './posteriorResult.ts';
import { expectationOf, quantileOf, type TabulatedDensity } from './tabulatedDensity.ts';

/** A posterior's moments; undefined where they do not exist. */
export interface Moments {
  readonly mean: number | undefined;
  readonly deviation: number | undefined;
}

/** Median and equal-tailed interval of a table, beside moments found more exactly elsewhere. */
export function summarise(table: TabulatedDensity, moments: Moments, level: number): PosteriorSummary {
  const tail = (1 - level) / 2;
  return {
    mean: moments.mean,
    standardDeviation: moments.deviation,
    median: quantileOf(table, 0.5),
    interval: { lower: quantileOf(table, tail), upper: quantileOf(table, 1 - tail), level },
  };
}

/** The summary with its table. */
export function withDensity(table: TabulatedDensity, moments: Moments, level: number): PosteriorDistribution {
  return { ...summarise(table, moments, level), density: table };
}

/** A logit as a rate. */
export function rateOfLogit(logit: number): number {
  return 1 / (1 + Math.exp(-logit));
}

/** Between these logits a rate is smooth enough for one panel, however wide the posterior. */
const rateCuts = [-36, -16, -8, -4, -1.5, 0, 1.5, 4, 8, 16, 36];

/** The rate a posterior of logits amounts to: quantiles carried over, moments integrated anew. */
export function rateSummary(table: TabulatedDensity, logit: PosteriorSummary): PosteriorSummary {
  const mean = expectationOf(table, rateOfLogit, rateCuts);
  const variance = expectationOf(table, (x) => (rateOfLogit(x) - mean) ** 2, rateCuts);
  return {
    mean,
    standardDeviation: Math.sqrt(variance),
    median: rateOfLogit(logit.median),
    interval: {
      lower: rateOfLogit(logit.interval.lower),
      upper: rateOfLogit(logit.interval.upper),
      level: logit.interval.level,
    },
  };
}

/** Mean and standard deviation over weighted values, where the first `exist` of the two exist. */
export function weightedMoments(
  values: ArrayLike<number>,
  weights: ArrayLike<number>,
  exist: number,
): Moments {
  let mean = 0;
  for (let index = 0; index < values.length; index++) mean += weights[index]! * values[index]!;
  let variance = 0;
  for (let index = 0; index < values.length; index++) {
    variance += weights[index]! * (values[index]! - mean) ** 2;
  }
  return {
    mean: exist >= 1 ? mean : undefined,
    deviation: exist >= 2 ? Math.sqrt(variance) : undefined,
  };
}
