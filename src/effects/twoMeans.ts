import type { RowAddress } from '../extraction/rowAddress.ts';
import type { Estimate } from './estimate.ts';
import { smallSampleFactor } from './smallSampleFactor.ts';

/** A score in one arm. */
export interface MeanSummary {
  readonly mean: number;
  /** Standard deviation, above 0. */
  readonly standardDeviation: number;
  /** Shoulders measured, 2 or more. */
  readonly total: number;
}

/** Two arms of one study; differences are treated minus comparator. */
export interface TwoMeans {
  readonly study: string;
  readonly label: string;
  readonly treated: MeanSummary;
  readonly comparator: MeanSummary;
  readonly rows?: readonly RowAddress[];
}

/** Formulas for the sampling variance of a standardised mean difference g. */
export const standardisedVariances = ['large-sample', 'unbiased'] as const;
export type StandardisedVariance = (typeof standardisedVariances)[number];

/** Formulas for the sampling variance of a mean difference: each arm's own spread, or one spread for both. */
export const meanDifferenceVariances = ['separate', 'pooled'] as const;
export type MeanDifferenceVariance = (typeof meanDifferenceVariances)[number];

/**
 * How many points higher is the first arm than the second?
 *
 * m₁−m₂. Sampling variance: `separate` (default) s₁²/n₁+s₂²/n₂; `pooled` s²·(1/n₁+1/n₂) with
 * s² = [(n₁−1)s₁²+(n₂−1)s₂²]/(n₁+n₂−2), which takes scores to spread alike in both arms, as the two-sample t test does.
 *
 * @returns an {@link Estimate} on the scale `mean-difference`, in the score's own points
 * @throws RangeError for a mean that is not finite, a standard deviation not above 0, a total below 2, or an unknown
 *   variance formula
 * @see Cochrane Handbook, section 6.5.1.1 (separate). Armitage P, Berry G, Matthews JNS. Statistical Methods in Medical
 *   Research, 4th ed. 2002, section 4.3 (pooled; section from memory).
 * @example
 * meanDifference({ study: 'a', label: 'Ostrava 2015', treated: { mean: 82, standardDeviation: 12, total: 40 },
 *   comparator: { mean: 79, standardDeviation: 14, total: 38 } }).value // 3
 */
export function meanDifference(
  arms: TwoMeans,
  options: { readonly variance?: MeanDifferenceVariance } = {},
): Estimate {
  const { treated, comparator } = checked(arms);
  const formula = checkedFormula(options.variance ?? 'separate', meanDifferenceVariances);
  return {
    ...base(arms),
    value: treated.mean - comparator.mean,
    variance:
      formula === 'pooled'
        ? pooledSquare(arms) * (1 / treated.total + 1 / comparator.total)
        : treated.standardDeviation ** 2 / treated.total +
          comparator.standardDeviation ** 2 / comparator.total,
    scale: 'mean-difference',
  };
}

/**
 * How many standard deviations higher is the first arm than the second?
 *
 * g = J(ν)·(m₁−m₂)/s with s the pooled standard deviation, ν = n₁+n₂−2 and J the exact small-sample factor. Sampling
 * variance: `large-sample` (default) J²·[1/n₁+1/n₂+d²/(2(n₁+n₂))], d = (m₁−m₂)/s; `unbiased`
 * 1/n₁+1/n₂+[1−(ν−2)/(ν J²)]·g², whose expectation is the exact variance of g.
 *
 * @returns an {@link Estimate} on the scale `standardised-mean-difference`, in standard deviations
 * @throws RangeError as {@link meanDifference}, and for an unknown variance formula
 * @see Hedges LV. J Educ Stat 1981;6:107-128. Hedges LV, Olkin I. Statistical Methods for Meta-Analysis, 1985, chapter
 *   5, section E (both variances).
 * @example
 * standardisedMeanDifference({ study: 'a', label: 'Ostrava 2015', treated: { mean: 82, standardDeviation: 12, total: 40 },
 *   comparator: { mean: 79, standardDeviation: 14, total: 38 } }).value // 0.228
 */
export function standardisedMeanDifference(
  arms: TwoMeans,
  options: { readonly variance?: StandardisedVariance } = {},
): Estimate {
  const { treated, comparator } = checked(arms);
  const formula = checkedFormula(options.variance ?? 'large-sample', standardisedVariances);
  const degreesOfFreedom = treated.total + comparator.total - 2;
  const raw = (treated.mean - comparator.mean) / Math.sqrt(pooledSquare(arms));
  const factor = smallSampleFactor(degreesOfFreedom);
  const value = factor * raw;
  const sizes = 1 / treated.total + 1 / comparator.total;
  return {
    ...base(arms),
    value,
    variance:
      formula === 'large-sample'
        ? factor ** 2 * (sizes + raw ** 2 / (2 * (treated.total + comparator.total)))
        : sizes + (1 - (degreesOfFreedom - 2) / (degreesOfFreedom * factor ** 2)) * value ** 2,
    scale: 'standardised-mean-difference',
  };
}

/** The standard deviation of both arms around their own means, squared. */
function pooledSquare({ treated, comparator }: TwoMeans): number {
  return (
    ((treated.total - 1) * treated.standardDeviation ** 2 +
      (comparator.total - 1) * comparator.standardDeviation ** 2) /
    (treated.total + comparator.total - 2)
  );
}

function checkedFormula<T extends string>(formula: T, allowed: readonly T[]): T {
  if (!allowed.includes(formula)) {
    throw new RangeError(`variance must be one of ${allowed.join(', ')}; received ${formula}`);
  }
  return formula;
}

function base(arms: TwoMeans) {
  return { study: arms.study, label: arms.label, addedToEachCell: 0, rows: arms.rows ?? [] };
}

function checked(arms: TwoMeans): TwoMeans {
  for (const name of ['treated', 'comparator'] as const) {
    const { mean, standardDeviation, total } = arms[name];
    const of = `of ${arms.label} (${name})`;
    if (!Number.isFinite(mean)) throw new RangeError(`mean ${of} must be finite, received ${mean}`);
    if (!(standardDeviation > 0 && Number.isFinite(standardDeviation))) {
      throw new RangeError(`standardDeviation ${of} must be above 0, received ${standardDeviation}`);
    }
    if (!(Number.isInteger(total) && total >= 2)) {
      throw new RangeError(`total ${of} must be a whole number of at least 2, received ${total}`);
    }
  }
  return arms;
}
