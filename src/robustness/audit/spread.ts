import type { PrintedStatistic } from '../../extraction/printedStatistic.ts';
import { normalQuantile, studentTQuantile } from '../../numerics/distributions.ts';
import { type ArithmeticCheck, halfUnit, printedRange } from './arithmeticCheck.ts';

/** A scale with ends. */
export interface ScaleRange {
  readonly minimum: number;
  readonly maximum: number;
}

const bound: ArithmeticCheck = { verdict: 'cannot be checked', reason: 'A bound is not a value.' };

/**
 * Can any scores on the scale have a standard deviation this large?
 *
 * With mean m on a scale from a to b the variance of n scores is at most n/(n − 1)·(m − a)(b − m), reached when all
 * answers lie at the ends. Both numbers may have been rounded.
 *
 * @see Bhatia R, Davis C, Am Math Mon 2000;107:353 (the bound).
 * @example
 * checkLargestDeviation(deviation, 30, { minimum: 0, maximum: 10 }, mean)
 */
export function checkLargestDeviation(
  deviation: PrintedStatistic,
  n: number,
  range: ScaleRange,
  mean?: PrintedStatistic,
): ArithmeticCheck {
  if (deviation.relation !== '=') return bound;
  if (n < 2) return { verdict: 'cannot be checked', reason: 'One score has no standard deviation.' };
  const { minimum, maximum } = range;
  const middle = (minimum + maximum) / 2;
  const limits = mean === undefined ? undefined : printedRange(mean);
  // The printed mean nearest to the middle of the scale allows the most.
  const at = limits === undefined ? middle : Math.min(Math.max(middle, limits.lower), limits.upper);
  const room = Math.max(0, (at - minimum) * (maximum - at));
  const largest = Math.sqrt((n / (n - 1)) * room);
  if (deviation.value - halfUnit(deviation) <= largest * (1 + 1e-9) + 1e-12)
    return { verdict: 'fits', by: 'the bound of the scale' };
  const about = mean === undefined ? '' : ` with a mean of ${mean.value.toFixed(mean.decimals)}`;
  return {
    verdict: 'does not fit',
    kind: 'spread',
    strength: 'contradiction',
    counts: `No ${n} scores from ${minimum} to ${maximum}${about} have a standard deviation above ${largest.toFixed(deviation.decimals + 1)}.`,
    wouldFit: [],
  };
}

/**
 * Do a standard deviation, a standard error and the number scored belong together?
 *
 * SE = SD/√n, within the rounding of both.
 *
 * @example
 * checkStandardError(standardError, deviation, 38)
 */
export function checkStandardError(
  standardError: PrintedStatistic,
  deviation: PrintedStatistic,
  n: number,
): ArithmeticCheck {
  const [error, spread] = [printedRange(standardError), printedRange(deviation)];
  if (error === undefined || spread === undefined) return bound;
  const root = Math.sqrt(n);
  const slack = 1e-9 * Math.max(1, deviation.value);
  if (error.lower * root <= spread.upper + slack && spread.lower <= error.upper * root + slack)
    return { verdict: 'fits', by: 'the standard deviation over the root of the number scored' };
  const wouldFit: string[] = [];
  if (standardError.value === deviation.value)
    wouldFit.push('The two are the same number: one of them carries the wrong name.');
  const people = (deviation.value / standardError.value) ** 2;
  if (Number.isFinite(people) && people >= 1.5)
    wouldFit.push(`They belong together for about ${Math.round(people)} scores.`);
  return {
    verdict: 'does not fit',
    kind: 'standard error',
    strength: 'contradiction',
    counts: `A standard deviation of ${deviation.value.toFixed(deviation.decimals)} over the root of ${n} is ${(deviation.value / root).toFixed(standardError.decimals + 1)}.`,
    wouldFit,
  };
}

/** What other studies have on a scale, in the units of the study at hand. */
export interface UsualDeviation {
  readonly studies: number;
  readonly median: number;
}

/** With fewer scores chance alone makes a deviation this small now and then; a choice of ours. */
export const fewestForComparison = 16;

/** A deviation this many times smaller than usual on the scale is asked about; a choice of ours. */
export const farBelowUsual = 3;

/**
 * Is a standard deviation rather a standard error, or the other way round?
 *
 * Held against the median standard deviation of other studies on the same scale (rescaled to its width). A deviation
 * less than a third of it, which times √n lies within half and twice of it, is probably a standard error; an error that
 * lies within half and twice of it, and is more than three times what √n leaves, is probably a standard deviation.
 * Never more than a question: patients can be that alike. Not checked with fewer than three other studies or 16 scores.
 *
 * @example
 * checkErrorForDeviation('standard deviation', deviation, 60, { studies: 5, median: 2.1 })
 */
export function checkErrorForDeviation(
  printedAs: 'standard deviation' | 'standard error',
  printed: PrintedStatistic,
  n: number,
  { studies, median }: UsualDeviation,
): ArithmeticCheck {
  if (printed.relation !== '=') return bound;
  if (studies < 3)
    return {
      verdict: 'cannot be checked',
      reason: 'Fewer than three other studies tell what is usual on the scale.',
    };
  if (n < fewestForComparison)
    return {
      verdict: 'cannot be checked',
      reason: `With fewer than ${fewestForComparison} scores the spread varies too much.`,
    };
  const near = (value: number): boolean => value >= median / 2 && value <= 2 * median;
  const root = Math.sqrt(n);
  const digits = printed.decimals;
  const others = `The standard deviations of ${studies} other studies on the scale have a median of ${median.toFixed(digits)}.`;
  if (
    printedAs === 'standard deviation' &&
    printed.value < median / farBelowUsual &&
    near(printed.value * root)
  ) {
    return {
      verdict: 'does not fit',
      kind: 'standard error',
      strength: 'question',
      counts: others,
      wouldFit: [
        `As a standard error of ${n} scores it would be a standard deviation of ${(printed.value * root).toFixed(digits)}.`,
      ],
    };
  }
  if (
    printedAs === 'standard error' &&
    near(printed.value) &&
    printed.value > (farBelowUsual * median) / root
  ) {
    return {
      verdict: 'does not fit',
      kind: 'standard error',
      strength: 'question',
      counts: `${others} Over the root of ${n} that is ${(median / root).toFixed(digits + 1)}.`,
      wouldFit: ['It would be usual as a standard deviation.'],
    };
  }
  return { verdict: 'fits', by: 'what other studies have on the scale' };
}

/**
 * Does a limit of a 95 per cent interval follow from mean, standard deviation and number scored?
 *
 * m ± t·SD/√n with n − 1 degrees of freedom, or with 1.96, within the rounding of all. As explanations: limits one standard error or
 * one standard deviation from the mean.
 */
export function checkMeanLimit(
  side: 'lower' | 'upper',
  limit: PrintedStatistic,
  mean: PrintedStatistic,
  deviation: PrintedStatistic,
  n: number,
): ArithmeticCheck {
  const [at, centre, spread] = [printedRange(limit), printedRange(mean), printedRange(deviation)];
  if (at === undefined || centre === undefined || spread === undefined) return bound;
  if (n < 2) return { verdict: 'cannot be checked', reason: 'One score has no standard deviation.' };
  const sign = side === 'lower' ? -1 : 1;
  const fits = (factor: number): boolean => {
    const ends = [
      centre.lower + sign * factor * spread.lower,
      centre.lower + sign * factor * spread.upper,
      centre.upper + sign * factor * spread.lower,
      centre.upper + sign * factor * spread.upper,
    ];
    const slack = 1e-9 * Math.max(1, Math.abs(limit.value));
    return at.upper >= Math.min(...ends) - slack && at.lower <= Math.max(...ends) + slack;
  };
  const root = Math.sqrt(n);
  const student = studentTQuantile(0.975, n - 1);
  if (fits(student / root) || fits(normalQuantile(0.975) / root))
    return { verdict: 'fits', by: 'mean, standard deviation and number scored' };
  const wouldFit: string[] = [];
  if (fits(1 / root)) wouldFit.push('It lies one standard error from the mean.');
  if (fits(1)) wouldFit.push('It lies one standard deviation from the mean.');
  return {
    verdict: 'does not fit',
    kind: 'interval',
    strength: wouldFit.length > 0 ? 'question' : 'contradiction',
    counts: `The ${side} limit of the 95 per cent interval from the mean, the standard deviation and ${n} scores is ${(mean.value + (sign * student * deviation.value) / root).toFixed(limit.decimals)}.`,
    wouldFit,
  };
}
