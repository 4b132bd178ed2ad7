import { fewDigitsCaution } from './fewDigitsCaution.ts';
import type { ScoreConversion } from './scoreConversion.ts';
import { requireFinite, requireNotNegative, requireResult, requireSampleSize } from './scoreInputs.ts';

/** A group's standard error of the mean as printed. */
export interface StandardErrorOfMean {
  readonly standardError: number;
  readonly total: number;
  /** The group's mean, carried through. */
  readonly mean?: number;
}

/**
 * What is the standard deviation of a group whose paper prints the standard error of the mean?
 *
 * SD = SE √n. In the units of the score; exact, whatever the shape of the data. The standard error
 * must be the group's own, not that of a difference.
 *
 * @throws RangeError for a standard error below 0 or fewer than two people.
 * Source: Cochrane Handbook version 6, section 6.5.2.2.
 * @example
 * deviationFromStandardError({ standardError: 1.8, total: 38, mean: 22.4 }).standardDeviation // 11.10
 */
export function deviationFromStandardError(input: StandardErrorOfMean): ScoreConversion {
  requireNotNegative('standardError', input.standardError);
  requireSampleSize('total', input.total);
  if (input.mean !== undefined) requireFinite('mean', input.mean);
  const fewDigits = fewDigitsCaution([input.standardError], input.standardError);
  return {
    kind: 'score-conversion',
    mean: input.mean,
    standardDeviation: requireResult('standardDeviation', input.standardError * Math.sqrt(input.total)),
    method: 'standard error times the root of the sample size',
    source: 'Cochrane Handbook version 6, section 6.5.2.2',
    cautions: fewDigits === undefined ? [] : [fewDigits],
    inputs: { ...input },
  };
}
