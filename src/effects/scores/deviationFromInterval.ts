import { normalQuantile, studentTQuantile } from '../../numerics/distributions.ts';
import { fewDigitsCaution } from './fewDigitsCaution.ts';
import type { ScoreCaution } from './scoreCaution.ts';
import type { ScoreConversion } from './scoreConversion.ts';
import {
  requireFinite,
  requireKnownOptions,
  requireLevel,
  requireOneOf,
  requireResult,
  requireSampleSize,
} from './scoreInputs.ts';

/** Which distribution the paper's interval is taken to have used. */
export const intervalQuantiles = ['t', 'normal'] as const;
export type IntervalQuantile = (typeof intervalQuantiles)[number];

/** A confidence interval of one group's mean as printed. */
export interface IntervalOfMean {
  readonly lower: number;
  readonly upper: number;
  /** Coverage of the printed interval, such as 0.95: always stated, never assumed. */
  readonly level: number;
  readonly total: number;
  /** The group's mean; without it the middle of the interval is taken. */
  readonly mean?: number;
}

export interface DeviationFromIntervalOptions {
  /** Default `t` with n - 1 degrees of freedom; `normal` for a paper known to use 1.96. */
  readonly quantile?: IntervalQuantile;
}

/**
 * What is the standard deviation of a group whose paper prints a confidence interval of its mean?
 *
 * SD = √n (upper - lower) / (2 q), q the quantile of Student's t with n - 1 degrees of freedom (the
 * convention), or of the normal distribution where chosen. In the units of the score.
 *
 * @throws RangeError when the upper limit lies below the lower, the mean outside, or the level outside 0 to 1.
 * Source: Cochrane Handbook version 6, section 6.5.2.2 (t below about 60 people a group, 3.92 above).
 * @example
 * deviationFromInterval({ lower: 30, upper: 34.2, level: 0.95, total: 25 }).standardDeviation // 5.09
 */
export function deviationFromInterval(
  input: IntervalOfMean,
  options: DeviationFromIntervalOptions = {},
): ScoreConversion {
  requireKnownOptions(options, ['quantile']);
  const quantile: string = options.quantile ?? 't';
  requireOneOf('quantile', quantile, intervalQuantiles);
  requireSampleSize('total', input.total);
  requireLevel(input.level);
  requireIntervalOrder(input);
  const { lower, upper, level, total } = input;
  const upperTail = (1 - level) / 2;
  const divisor =
    quantile === 't' ? -2 * studentTQuantile(upperTail, total - 1) : -2 * normalQuantile(upperTail);
  const cautions: ScoreCaution[] = [];
  // The Handbook's line between the two conventions, section 6.5.2.2.
  if (quantile === 'normal' && total < 60) {
    cautions.push({
      code: 'normal-quantile-in-small-sample',
      message: `With ${total} people the interval was more likely made with t; the normal quantile then gives too large a standard deviation.`,
    });
  }
  const fewDigits = fewDigitsCaution([lower, upper], upper - lower);
  if (fewDigits !== undefined) cautions.push(fewDigits);
  return {
    kind: 'score-conversion',
    mean: input.mean ?? lower + (upper - lower) / 2,
    standardDeviation: requireResult('standardDeviation', (Math.sqrt(total) * (upper - lower)) / divisor),
    method:
      quantile === 't'
        ? `width of the ${percent(level)} interval over twice the t quantile with ${total - 1} degrees of freedom, times the root of the sample size`
        : `width of the ${percent(level)} interval over twice the normal quantile, times the root of the sample size`,
    source: 'Cochrane Handbook version 6, section 6.5.2.2',
    cautions,
    inputs: { ...input, quantile },
  };
}

const percent = (level: number): string => `${Number((100 * level).toFixed(4))} %`;

/** Throws unless lower, mean (where given) and upper stand in this order. */
export function requireIntervalOrder(input: Pick<IntervalOfMean, 'lower' | 'upper' | 'mean'>): void {
  requireFinite('lower', input.lower);
  requireFinite('upper', input.upper);
  if (input.upper < input.lower) {
    throw new RangeError(`upper must be at least lower (${input.lower}); received ${input.upper}`);
  }
  if (input.mean === undefined) return;
  requireFinite('mean', input.mean);
  if (input.mean < input.lower || input.mean > input.upper) {
    throw new RangeError(
      `mean must lie from lower (${input.lower}) to upper (${input.upper}); received ${input.mean}`,
    );
  }
}
