import { type FiveNumberSummary, type SummaryScenario, summaryScenario } from './fiveNumberSummary.ts';
import { requireKnownOptions, requireOneOf, requireResult } from './scoreInputs.ts';
import {
  quartileDivisor,
  rangeDivisor,
  type SpreadDivisorForm,
  spreadDivisorForms,
} from './spreadDivisors.ts';

/** Published ways from the five numbers to a standard deviation. */
export const deviationFromSummaryMethods = ['wan-2014', 'shi-2020', 'hozo-2005'] as const;
export type DeviationFromSummaryMethod = (typeof deviationFromSummaryMethods)[number];

export const deviationFromSummarySources: Readonly<Record<DeviationFromSummaryMethod, string>> = {
  'wan-2014': 'Wan X, Wang W, Liu J, Tong T. BMC Med Res Methodol 2014;14:135',
  'shi-2020': 'Shi J, Luo D, Weng H, Zeng XT, Lin L, Chu H, Tong T. Res Synth Methods 2020;11:641-654',
  'hozo-2005': 'Hozo SP, Djulbegovic B, Hozo I. BMC Med Res Methodol 2005;5:13',
};

export interface DeviationFromSummaryOptions {
  /** Default `shi-2020` when range and quartiles are both there, else `wan-2014`. */
  readonly method?: DeviationFromSummaryMethod;
  /** Default `integral` for `wan-2014` and, as that paper prints it, `closed-form` for `shi-2020`. */
  readonly divisor?: SpreadDivisorForm;
}

export interface ResolvedDeviationFromSummaryOptions {
  readonly method: DeviationFromSummaryMethod;
  /** Undefined where the method has no divisor by order statistics. */
  readonly divisor: SpreadDivisorForm | undefined;
}

/** Fills in what was left open; throws for a method that does not cover the scenario. */
export function resolveDeviationFromSummary(
  scenario: SummaryScenario,
  options: DeviationFromSummaryOptions = {},
): ResolvedDeviationFromSummaryOptions {
  requireKnownOptions(options, ['method', 'divisor']);
  const method: string = options.method ?? (scenario === 'range-and-quartiles' ? 'shi-2020' : 'wan-2014');
  requireOneOf('standardDeviation', method, deviationFromSummaryMethods);
  if (options.divisor !== undefined) requireOneOf('divisor', options.divisor, spreadDivisorForms);
  if (method === 'shi-2020' && scenario !== 'range-and-quartiles') {
    throw new RangeError(
      `standardDeviation "shi-2020" needs range and quartiles; allowed with the ${scenario} alone: wan-2014${scenario === 'range' ? ', hozo-2005' : ''}`,
    );
  }
  if (method === 'hozo-2005' && scenario === 'quartiles') {
    throw new RangeError(
      'standardDeviation "hozo-2005" needs minimum and maximum; allowed with quartiles alone: wan-2014',
    );
  }
  if (method === 'hozo-2005') return { method, divisor: undefined };
  return { method, divisor: options.divisor ?? (method === 'shi-2020' ? 'closed-form' : 'integral') };
}

/**
 * What is the standard deviation of a group whose paper prints its range, its quartiles, or both?
 *
 * With a, q₁, m, q₃, b the five numbers, n the sample size, ξ and η the divisors of {@link rangeDivisor}
 * and {@link quartileDivisor}:
 *
 * - `wan-2014`: (b-a)/ξ; (q₃-q₁)/η; the mean of the two.
 * - `shi-2020` (both): w (b-a)/ξ + (1-w) (q₃-q₁)/η, w = 1/(1 + 0.07 n^0.6), the weight that is best for normal data.
 * - `hozo-2005` (range): √{[(a-2m+b)²/4 + (b-a)²]/12} up to 15 people, (b-a)/4 up to 70, (b-a)/6 above.
 *
 * In the units of the score. All assume data that are not skewed.
 *
 * @throws RangeError when the numbers are out of order or the method does not cover what is given.
 * Source: see {@link deviationFromSummarySources}; the three scenarios of Wan.
 * @example
 * deviationFromSummary({ minimum: 2, median: 8, maximum: 21, total: 49 })
 */
export function deviationFromSummary(
  summary: FiveNumberSummary,
  options: DeviationFromSummaryOptions = {},
): number {
  const scenario = summaryScenario(summary);
  const { method, divisor } = resolveDeviationFromSummary(scenario, options);
  const { minimum = 0, quartileLower = 0, quartileUpper = 0, maximum = 0, total } = summary;
  const range = maximum - minimum;
  if (method === 'hozo-2005') return requireResult('standardDeviation', hozoDeviation(summary, range));
  const fromRange = scenario === 'quartiles' ? 0 : range / rangeDivisor(total, divisor);
  const fromQuartiles =
    scenario === 'range' ? 0 : (quartileUpper - quartileLower) / quartileDivisor(total, divisor);
  const rangeShare =
    scenario === 'range'
      ? 1
      : scenario === 'quartiles'
        ? 0
        : method === 'wan-2014'
          ? 1 / 2
          : 1 / (1 + 0.07 * total ** 0.6);
  return requireResult('standardDeviation', rangeShare * fromRange + (1 - rangeShare) * fromQuartiles);
}

function hozoDeviation(summary: FiveNumberSummary, range: number): number {
  if (summary.total > 70) return range / 6;
  if (summary.total > 15) return range / 4;
  const { minimum = 0, median, maximum = 0 } = summary;
  if (median === undefined) {
    throw new RangeError('median must be given for "hozo-2005" up to 15 people; received nothing');
  }
  const asymmetry = minimum - median + (maximum - median);
  return Math.sqrt((asymmetry ** 2 / 4 + range ** 2) / 12);
}
