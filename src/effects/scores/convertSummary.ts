import {
  type DeviationFromSummaryMethod,
  deviationFromSummary,
  deviationFromSummarySources,
  type ResolvedDeviationFromSummaryOptions,
  resolveDeviationFromSummary,
} from './deviationFromSummary.ts';
import { type FiveNumberSummary, type SummaryScenario, summaryScenario } from './fiveNumberSummary.ts';
import { type MeanFromSummaryMethod, meanFromSummary, meanFromSummarySources } from './meanFromSummary.ts';
import { type ScoreRange, scaleEndCaution } from './scaleEndCaution.ts';
import type { ScoreCaution } from './scoreCaution.ts';
import type { ScoreConversion } from './scoreConversion.ts';
import { requireFinite, requireKnownOptions } from './scoreInputs.ts';
import { type SkewnessTest, skewnessFromSummary } from './skewnessFromSummary.ts';
import type { SpreadDivisorForm } from './spreadDivisors.ts';

export interface ConvertSummaryOptions {
  /** Default `luo-2018`. Not used when the paper prints the mean. */
  readonly mean?: MeanFromSummaryMethod;
  /** Default `shi-2020` when range and quartiles are both there, else `wan-2014`. */
  readonly standardDeviation?: DeviationFromSummaryMethod;
  /** Default `integral` for `wan-2014`, `closed-form` for `shi-2020`, as the papers have it. */
  readonly divisor?: SpreadDivisorForm;
  /** Ends of the scale, to warn of scores piled up at one. */
  readonly range?: ScoreRange;
}

/** Options after defaults were filled in. */
export interface ResolvedConvertSummaryOptions {
  readonly mean: MeanFromSummaryMethod | 'as-printed';
  readonly standardDeviation: DeviationFromSummaryMethod;
  readonly divisor: SpreadDivisorForm | undefined;
}

/** A conversion from the five numbers, with the test of the assumption it rests on. */
export interface SummaryConversion extends ScoreConversion {
  readonly mean: number;
  readonly scenario: SummaryScenario;
  readonly skewness: SkewnessTest;
  readonly options: ResolvedConvertSummaryOptions;
}

const scenarioNames: Readonly<Record<SummaryScenario, string>> = {
  range: 'range',
  quartiles: 'quartiles',
  'range-and-quartiles': 'range and quartiles',
};

/**
 * What are mean and standard deviation of a group whose paper prints the median with its range, its
 * quartiles, or both?
 *
 * The mean by {@link meanFromSummary}, the standard deviation by {@link deviationFromSummary}, and
 * beside them the skewness test of the summary: a result that was converted although skewed says so.
 * When the paper prints the mean as well, give it and only the standard deviation is converted.
 *
 * @throws RangeError for numbers out of order, a missing end, or a method that does not cover what is given.
 * Source: Hozo 2005, Wan 2014, Luo 2018, Shi 2020, Shi 2023, as named in the parts; Cochrane Handbook
 * version 6, sections 6.5.2.5 and 6.5.2.6 (which advises against standard deviations from ranges).
 * @example
 * convertSummary({ minimum: 2, quartileLower: 5, median: 8, quartileUpper: 12, maximum: 21, total: 49 })
 */
export function convertSummary(
  summary: FiveNumberSummary & { readonly mean?: number },
  options: ConvertSummaryOptions = {},
): SummaryConversion {
  requireKnownOptions(options, ['mean', 'standardDeviation', 'divisor', 'range']);
  const scenario = summaryScenario(summary);
  const deviationOptions = {
    ...(options.standardDeviation === undefined ? {} : { method: options.standardDeviation }),
    ...(options.divisor === undefined ? {} : { divisor: options.divisor }),
  };
  const resolved = resolveDeviationFromSummary(scenario, deviationOptions);
  const standardDeviation = deviationFromSummary(summary, deviationOptions);
  const meanMethod = summary.mean === undefined ? (options.mean ?? 'luo-2018') : 'as-printed';
  const mean = meanMethod === 'as-printed' ? summary.mean! : meanFromSummary(summary, meanMethod);
  requireFinite('mean', mean);
  const skewness = skewnessFromSummary(summary);
  const end =
    options.range === undefined
      ? undefined
      : scaleEndCaution({ mean, standardDeviation }, options.range, { converted: true });
  const { range: _ends, ...inputOptions } = options;
  return {
    kind: 'score-conversion',
    mean,
    standardDeviation,
    scenario,
    skewness,
    options: { mean: meanMethod, standardDeviation: resolved.method, divisor: resolved.divisor },
    method: methodInWords(scenario, meanMethod, resolved),
    source: sourceInWords(meanMethod, resolved.method),
    cautions: [
      ...cautionsOf(scenario, meanMethod, resolved, skewness, standardDeviation),
      ...(end ? [end] : []),
    ],
    inputs: { ...summary, ...inputOptions },
  };
}

function methodInWords(
  scenario: SummaryScenario,
  mean: ResolvedConvertSummaryOptions['mean'],
  deviation: ResolvedDeviationFromSummaryOptions,
): string {
  const divisor =
    deviation.divisor === undefined
      ? ''
      : deviation.divisor === 'integral'
        ? ', divisors by integration of normal order statistics'
        : ', divisors in closed form';
  const ofMean =
    mean === 'as-printed'
      ? 'mean as printed'
      : `mean from the median and ${scenarioNames[scenario]} (${authorAndYear(mean)})`;
  return `${ofMean}; standard deviation from the ${scenarioNames[scenario]} (${authorAndYear(deviation.method)}${divisor})`;
}

/** A method by the paper it is of: `luo-2018` is `Luo 2018`. */
const authorAndYear = (method: string): string =>
  method.charAt(0).toUpperCase() + method.slice(1).replaceAll('-', ' ');

function sourceInWords(
  mean: ResolvedConvertSummaryOptions['mean'],
  deviation: DeviationFromSummaryMethod,
): string {
  const sources = [
    ...(mean === 'as-printed' ? [] : [meanFromSummarySources[mean]]),
    deviationFromSummarySources[deviation],
  ];
  return [...new Set(sources)].join('; ');
}

function cautionsOf(
  scenario: SummaryScenario,
  mean: ResolvedConvertSummaryOptions['mean'],
  deviation: ResolvedDeviationFromSummaryOptions,
  skewness: SkewnessTest,
  standardDeviation: number,
): readonly ScoreCaution[] {
  const cautions: ScoreCaution[] = [];
  if (skewness.skewed === true) {
    cautions.push({
      code: 'converted-although-skewed',
      message: `Converted although skewed: the test statistic ${skewness.statistic!.toFixed(3)} exceeds its critical value ${skewness.criticalValue!.toFixed(3)}, so the mean and standard deviation may mislead.`,
    });
  }
  if (skewness.skewed === undefined) {
    cautions.push({
      code: 'skewness-not-tested',
      message: `Skewness could not be tested. ${skewness.reason}`,
    });
  }
  if (scenario === 'range') {
    cautions.push({
      code: 'standard-deviation-from-range',
      message:
        'The standard deviation comes from the two most extreme scores alone; the Cochrane Handbook advises against it.',
    });
  }
  if (mean === 'hozo-2005' || deviation.method === 'hozo-2005') {
    cautions.push({
      code: 'older-rule',
      message:
        'The 2005 rule of thumb was used, which later papers found biased; it is kept to reproduce older reviews.',
    });
  }
  if (standardDeviation === 0) {
    cautions.push({
      code: 'no-spread',
      message: 'The ends are equal, so the standard deviation is 0: such a result cannot be weighted.',
    });
  }
  return cautions;
}
