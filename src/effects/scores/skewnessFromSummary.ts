import { type FiveNumberSummary, type SummaryScenario, summaryScenario } from './fiveNumberSummary.ts';

/** Do the five numbers say that the data are skewed? */
export interface SkewnessTest {
  readonly kind: 'skewness-test';
  readonly scenario: SummaryScenario;
  /** Size of the asymmetry; larger is more skewed. Undefined when it cannot be tested. */
  readonly statistic: number | undefined;
  /** The statistic of normal data stays below this 95 times in 100. */
  readonly criticalValue: number | undefined;
  /** Undefined when it cannot be tested. */
  readonly skewed: boolean | undefined;
  /** Chance that normal data are called skewed. */
  readonly falseAlarm: 0.05;
  /** Why there is no answer. */
  readonly reason: string | undefined;
  readonly source: string;
}

/** The fits of the critical values were made for samples of at least this size. */
const smallestTested = 5;

/**
 * Are the data behind this summary skewed, so that a conversion to mean and standard deviation would mislead?
 *
 * With a, q₁, m, q₃, b the five numbers and n the sample size, normality (symmetry) is rejected at 5 % when
 *
 * - range: |a+b-2m|/(b-a) > 1.01/ln(n+9) + 2.43/(n+1);
 * - quartiles: |q₁+q₃-2m|/(q₃-q₁) > 2.66/√n - 5.92/n²;
 * - both: max{2.65 ln(0.6n)/√n · |a+b-2m|/(b-a), |q₁+q₃-2m|/(q₃-q₁)} > 2.97/√n - 39.1/n³.
 *
 * "Not skewed" says that the summary does not show it, not that there is none: the power is low in small samples.
 *
 * @throws RangeError when the numbers are out of order or one end of a pair is missing.
 * Source: Shi J, Luo D, Wan X, Liu Y, Liu J, Bian Z, Tong T, Detecting the skewness of data from the
 * five-number summary and its application in meta-analysis, Stat Methods Med Res 2023;32:1338-1360 (arXiv 2020).
 * @example
 * skewnessFromSummary({ quartileLower: 0, median: 0.5, quartileUpper: 3, total: 41 }).skewed // true
 */
export function skewnessFromSummary(summary: FiveNumberSummary): SkewnessTest {
  const scenario = summaryScenario(summary);
  const { minimum = 0, quartileLower = 0, median, quartileUpper = 0, maximum = 0, total: n } = summary;
  const base = {
    kind: 'skewness-test',
    scenario,
    falseAlarm: 0.05,
    source: 'Shi J, Luo D, Wan X, et al. Stat Methods Med Res 2023;32:1338-1360',
  } as const;
  const untested = (reason: string): SkewnessTest => ({
    ...base,
    statistic: undefined,
    criticalValue: undefined,
    skewed: undefined,
    reason,
  });
  if (median === undefined) return untested('No median is given to judge symmetry by.');
  if (n < smallestTested)
    return untested(`The test needs at least ${smallestTested} people; there are ${n}.`);
  const ofRange = asymmetry(minimum, median, maximum);
  const ofQuartiles = asymmetry(quartileLower, median, quartileUpper);
  if (
    (scenario !== 'quartiles' && ofRange === undefined) ||
    (scenario !== 'range' && ofQuartiles === undefined)
  ) {
    return untested('The two ends are equal, so there is no spread to be asymmetric.');
  }
  const { statistic, criticalValue } = {
    range: () => ({ statistic: ofRange!, criticalValue: 1.01 / Math.log(n + 9) + 2.43 / (n + 1) }),
    quartiles: () => ({ statistic: ofQuartiles!, criticalValue: 2.66 / Math.sqrt(n) - 5.92 / n ** 2 }),
    'range-and-quartiles': () => ({
      statistic: Math.max(((2.65 * Math.log(0.6 * n)) / Math.sqrt(n)) * ofRange!, ofQuartiles!),
      criticalValue: 2.97 / Math.sqrt(n) - 39.1 / n ** 3,
    }),
  }[scenario]();
  return { ...base, statistic, criticalValue, skewed: statistic > criticalValue, reason: undefined };
}

/** |low + high - 2 middle| / (high - low), 0 to 1; undefined without spread. */
function asymmetry(low: number, middle: number, high: number): number | undefined {
  return high > low ? Math.abs(low - middle + (high - middle)) / (high - low) : undefined;
}
