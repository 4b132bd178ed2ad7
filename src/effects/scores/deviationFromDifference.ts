import { normalQuantile, studentTQuantile } from '../../numerics/distributions.ts';
import { type IntervalQuantile, intervalQuantiles, requireIntervalOrder } from './deviationFromInterval.ts';
import type { ScoreCaution } from './scoreCaution.ts';
import type { ScoreConversion } from './scoreConversion.ts';
import {
  requireFinite,
  requireKnownOptions,
  requireLevel,
  requireOneOf,
  requirePositive,
  requireResult,
  requireSampleSize,
} from './scoreInputs.ts';

/** How large the two compared groups were. */
export interface TwoGroupSizes {
  readonly treatedTotal: number;
  readonly comparatorTotal: number;
}

const sharedCaution: ScoreCaution = {
  code: 'common-spread-assumed',
  message:
    'One standard deviation is given for both groups: the figure printed for the difference cannot tell them apart.',
};

const source = 'Cochrane Handbook version 6, section 6.5.2.3';

function fromStandardError(
  standardError: number,
  sizes: TwoGroupSizes,
  how: Pick<ScoreConversion, 'method' | 'inputs'> & { readonly cautions?: readonly ScoreCaution[] },
): ScoreConversion {
  const factor = Math.sqrt(1 / sizes.treatedTotal + 1 / sizes.comparatorTotal);
  return {
    kind: 'score-conversion',
    mean: undefined,
    standardDeviation: requireResult('standardDeviation', standardError / factor),
    method: how.method,
    source,
    cautions: [...(how.cautions ?? []), sharedCaution],
    inputs: how.inputs,
  };
}

function requireSizes(sizes: TwoGroupSizes): number {
  requireSampleSize('treatedTotal', sizes.treatedTotal, 1);
  requireSampleSize('comparatorTotal', sizes.comparatorTotal, 1);
  const degreesOfFreedom = sizes.treatedTotal + sizes.comparatorTotal - 2;
  if (degreesOfFreedom < 1) {
    throw new RangeError(
      `treatedTotal + comparatorTotal must be at least 3; received ${degreesOfFreedom + 2}`,
    );
  }
  return degreesOfFreedom;
}

/**
 * What is the standard deviation within groups when a paper prints the standard error of the difference in means?
 *
 * SD = SE / √(1/n₁ + 1/n₂), the same for both groups. In the units of the score.
 *
 * @throws RangeError for a standard error that is not above 0.
 * Source: Cochrane Handbook version 6, section 6.5.2.3.
 * @example
 * deviationFromStandardErrorOfDifference({ standardError: 1.37, treatedTotal: 25, comparatorTotal: 22 })
 */
export function deviationFromStandardErrorOfDifference(
  input: TwoGroupSizes & { readonly standardError: number },
): ScoreConversion {
  requireSizes(input);
  requirePositive('standardError', input.standardError);
  const method = 'standard error of the difference over the root of 1/n₁ + 1/n₂';
  return fromStandardError(input.standardError, input, { method, inputs: { ...input } });
}

/**
 * What is the standard deviation within groups when a paper prints the t statistic of the difference in means?
 *
 * SE = |difference| / |t|, then SD = SE / √(1/n₁ + 1/n₂). Student's t with equal variances is meant.
 *
 * @throws RangeError when the difference or t is 0: neither fixes a spread.
 * Source: Cochrane Handbook version 6, section 6.5.2.3.
 * @example
 * deviationFromTStatistic({ difference: 3.8, tStatistic: 2.78, treatedTotal: 25, comparatorTotal: 22 })
 */
export function deviationFromTStatistic(
  input: TwoGroupSizes & { readonly difference: number; readonly tStatistic: number },
): ScoreConversion {
  requireSizes(input);
  requireFinite('tStatistic', input.tStatistic);
  if (input.tStatistic === 0)
    throw new RangeError('tStatistic must not be 0, which fits any spread; received 0');
  requireDifference(input.difference);
  const standardError = Math.abs(input.difference) / Math.abs(input.tStatistic);
  const method = 'difference over its t statistic, over the root of 1/n₁ + 1/n₂';
  return fromStandardError(standardError, input, { method, inputs: { ...input } });
}

/** How the paper prints P: exactly, or only as lying below a line. */
export const pValueRelations = ['equal', 'less-than'] as const;
export type PValueRelation = (typeof pValueRelations)[number];

/**
 * What is the standard deviation within groups when a paper prints the P value of the difference in means?
 *
 * t is the quantile of Student's t with n₁ + n₂ - 2 degrees of freedom that leaves P/2 in the upper
 * tail (two-sided P), SE = |difference| / t, SD = SE / √(1/n₁ + 1/n₂). With `relation: 'less-than'`
 * the line itself is used ("P < 0.05" as 0.05), which overstates the spread: conservative, and flagged.
 *
 * @throws RangeError when P lies outside 0 to 1 (ends excluded) or the difference is 0.
 * Source: Cochrane Handbook version 6, section 6.5.2.3.
 * @example
 * deviationFromPValue({ difference: 3.8, pValue: 0.008, treatedTotal: 25, comparatorTotal: 22 }).standardDeviation // 4.68
 */
export function deviationFromPValue(
  input: TwoGroupSizes & {
    readonly difference: number;
    readonly pValue: number;
    readonly relation?: PValueRelation;
  },
): ScoreConversion {
  const degreesOfFreedom = requireSizes(input);
  const relation: string = input.relation ?? 'equal';
  requireOneOf('relation', relation, pValueRelations);
  const { pValue, difference } = input;
  if (typeof pValue !== 'number' || !(pValue > 0 && pValue < 1)) {
    throw new RangeError(`pValue must lie between 0 and 1, both excluded; received ${pValue}`);
  }
  requireDifference(difference);
  // The lower tail: 1 - p/2 would round to 1 for a small p.
  const t = -studentTQuantile(pValue / 2, degreesOfFreedom);
  const cautions: ScoreCaution[] = [];
  if (relation === 'less-than') {
    cautions.push({
      code: 'threshold-used-as-p-value',
      message: `The paper says only P < ${pValue}; P = ${pValue} was used, which makes the standard deviation too large: a conservative choice.`,
    });
  }
  return fromStandardError(Math.abs(difference) / t, input, {
    method: `difference over the t quantile of its two-sided P with ${degreesOfFreedom} degrees of freedom, over the root of 1/n₁ + 1/n₂`,
    inputs: { ...input, relation },
    cautions,
  });
}

/**
 * What is the standard deviation within groups when a paper prints a confidence interval of the difference in means?
 *
 * SE = (upper - lower) / (2 q) with q of Student's t with n₁ + n₂ - 2 degrees of freedom (or normal
 * where chosen), SD = SE / √(1/n₁ + 1/n₂).
 *
 * @throws RangeError when the limits are out of order or equal, or the level lies outside 0 to 1.
 * Source: Cochrane Handbook version 6, section 6.5.2.3.
 * @example
 * deviationFromIntervalOfDifference({ lower: 1, upper: 6.6, level: 0.95, treatedTotal: 25, comparatorTotal: 22 })
 */
export function deviationFromIntervalOfDifference(
  input: TwoGroupSizes & { readonly lower: number; readonly upper: number; readonly level: number },
  options: { readonly quantile?: IntervalQuantile } = {},
): ScoreConversion {
  requireKnownOptions(options, ['quantile']);
  const quantile: string = options.quantile ?? 't';
  requireOneOf('quantile', quantile, intervalQuantiles);
  const degreesOfFreedom = requireSizes(input);
  requireLevel(input.level);
  requireIntervalOrder(input);
  requirePositive('upper - lower', input.upper - input.lower);
  const tail = (1 - input.level) / 2;
  const q = quantile === 't' ? -studentTQuantile(tail, degreesOfFreedom) : -normalQuantile(tail);
  const name =
    quantile === 't' ? `t quantile with ${degreesOfFreedom} degrees of freedom` : 'normal quantile';
  const method = `width of the interval of the difference over twice the ${name}, over the root of 1/n₁ + 1/n₂`;
  return fromStandardError((input.upper - input.lower) / (2 * q), input, {
    method,
    inputs: { ...input, quantile },
  });
}

function requireDifference(difference: number): void {
  requireFinite('difference', difference);
  if (difference === 0) throw new RangeError('difference must not be 0, which fits any spread; received 0');
}
