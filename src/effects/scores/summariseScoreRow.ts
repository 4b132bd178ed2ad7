import { isReported, type Reported } from '../../extraction/reported.ts';
import type { ScoreRow } from '../../extraction/review.ts';
import type { MeanSummary } from '../twoMeans.ts';
import { convertSummary } from './convertSummary.ts';
import { deviationFromInterval } from './deviationFromInterval.ts';
import { deviationFromStandardError } from './deviationFromStandardError.ts';
import type { FiveNumberSummary } from './fiveNumberSummary.ts';
import type { ScoreConversion } from './scoreConversion.ts';
import type { ResolvedScoreConversionOptions } from './scoreSelection.ts';

/** A row's mean and spread on the version of the scale the paper used, and how they were come by. */
export interface SummarisedScoreRow extends MeanSummary {
  readonly conversions: readonly ScoreConversion[];
}

/**
 * What mean and standard deviation does a row of scores.csv give?
 *
 * The least indirect way is taken: standard deviation as printed, from the standard error, from the
 * confidence interval, from quartiles and range. A printed mean is always kept.
 *
 * @returns The summary, or one sentence why there is none. Impossible figures are a reason, never an exception.
 */
export function summariseScoreRow(
  row: ScoreRow,
  options: ResolvedScoreConversionOptions,
): SummarisedScoreRow | string {
  const total = value(row.shoulders);
  if (total === undefined) return 'The number of shoulders scored is not reported.';
  if (total < 2)
    return `With ${total} shoulder${total === 1 ? '' : 's'} there is no spread to weigh the score by.`;
  try {
    return summarise(row, total, options);
  } catch (error) {
    if (error instanceof RangeError) return `The figures cannot be used: ${error.message}.`;
    throw error;
  }
}

function summarise(
  row: ScoreRow,
  total: number,
  options: ResolvedScoreConversionOptions,
): SummarisedScoreRow | string {
  const mean = value(row.mean);
  const deviation = value(row.sd);
  const given = mean === undefined ? {} : { mean };
  if (mean !== undefined && deviation !== undefined) {
    return { mean, standardDeviation: deviation, total, conversions: [] };
  }
  const standardError = value(row.se);
  if (mean !== undefined && standardError !== undefined) {
    return from(deviationFromStandardError({ ...given, standardError, total }), mean, total);
  }
  const lower = value(row.intervalLower);
  const upper = value(row.intervalUpper);
  const percent = value(row.intervalPercent);
  if (lower !== undefined && upper !== undefined && percent !== undefined) {
    const input = { ...given, lower, upper, level: percent / 100, total };
    const conversion = deviationFromInterval(input, { quantile: options.intervalQuantile });
    return from(conversion, mean ?? conversion.mean, total, deviation);
  }
  return fromSummary(row, total, mean, deviation, options);
}

function fromSummary(
  row: ScoreRow,
  total: number,
  mean: number | undefined,
  deviation: number | undefined,
  options: ResolvedScoreConversionOptions,
): SummarisedScoreRow | string {
  const five = fiveNumbers(row, total);
  const hasRange = five.minimum !== undefined && five.maximum !== undefined;
  const hasQuartiles = five.quartileLower !== undefined && five.quartileUpper !== undefined;
  const median = five.median !== undefined ? 'The median' : 'The mean';
  if (mean === undefined && five.median === undefined) return 'Neither mean nor median is reported.';
  if (!hasRange && !hasQuartiles)
    return `${median} is reported without any measure of spread that can be converted.`;
  if (!hasQuartiles && deviation === undefined && options.rangeOnly === 'leave-out') {
    return `${median} is reported with the range alone, from which no standard deviation is made unless rangeOnly is "convert".`;
  }
  const conversion = convertSummary({ ...five, ...(mean === undefined ? {} : { mean }) }, options.summary);
  if (conversion.skewness.skewed === true && options.skewed === 'leave-out') {
    return 'The median with its range or quartiles shows skewed scores, which are not converted (skewed is "leave-out").';
  }
  return from(conversion, conversion.mean, total, deviation);
}

/** A half-given pair is treated as not given, since the other end cannot be guessed. */
function fiveNumbers(row: ScoreRow, total: number): FiveNumberSummary {
  const pair = (low: Reported<number>, high: Reported<number>) =>
    isReported(low) && isReported(high) ? ([low, high] as const) : undefined;
  const range = pair(row.minimum, row.maximum);
  const quartiles = pair(row.quartileLower, row.quartileUpper);
  return {
    ...(range === undefined ? {} : { minimum: range[0], maximum: range[1] }),
    ...(quartiles === undefined ? {} : { quartileLower: quartiles[0], quartileUpper: quartiles[1] }),
    ...(isReported(row.median) ? { median: row.median } : {}),
    total,
  };
}

/** A standard deviation that is printed stays, even when the mean had to be converted. */
function from(
  conversion: ScoreConversion,
  mean: number | undefined,
  total: number,
  printedDeviation?: number,
): SummarisedScoreRow | string {
  if (mean === undefined) return 'No mean can be made of the figures reported.';
  return {
    mean,
    standardDeviation: printedDeviation ?? conversion.standardDeviation,
    total,
    conversions: [conversion],
  };
}

const value = (reported: Reported<number>): number | undefined =>
  isReported(reported) ? reported : undefined;
