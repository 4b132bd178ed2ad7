import { type FiveNumberSummary, type SummaryScenario, summaryScenario } from './fiveNumberSummary.ts';
import { requireFinite, requireOneOf, requireResult } from './scoreInputs.ts';

/** Published ways from the five numbers to a mean. */
export const meanFromSummaryMethods = ['luo-2018', 'wan-2014', 'hozo-2005'] as const;
export type MeanFromSummaryMethod = (typeof meanFromSummaryMethods)[number];

export const meanFromSummarySources: Readonly<Record<MeanFromSummaryMethod, string>> = {
  'luo-2018': 'Luo D, Wan X, Liu J, Tong T. Stat Methods Med Res 2018;27:1785-1805',
  'wan-2014': 'Wan X, Wang W, Liu J, Tong T. BMC Med Res Methodol 2014;14:135',
  'hozo-2005': 'Hozo SP, Djulbegovic B, Hozo I. BMC Med Res Methodol 2005;5:13',
};

/**
 * What is the mean of a group whose paper prints the median with its range, its quartiles, or both?
 *
 * With a, q₁, m, q₃, b the five numbers and n the sample size:
 *
 * - `luo-2018` (weights that are best for normal data): range w (a+b)/2 + (1-w) m, w = 4/(4+n^0.75);
 *   quartiles w (q₁+q₃)/2 + (1-w) m, w = 0.7 + 0.39/n; both w₁ (a+b)/2 + w₂ (q₁+q₃)/2 + (1-w₁-w₂) m,
 *   w₁ = 2.2/(2.2+n^0.75), w₂ = 0.7 - 0.72/n^0.55.
 * - `wan-2014`: (a+2m+b)/4; (q₁+m+q₃)/3; (a+2q₁+2m+2q₃+b)/8 (the last from Bland 2015).
 * - `hozo-2005` (range only): (a+2m+b)/4 up to 25 people, the median above.
 *
 * In the units of the score. All assume data that are not skewed.
 *
 * @throws RangeError when the median is missing, the numbers are out of order, or the method does not
 * cover what is given.
 * Source: see {@link meanFromSummarySources}.
 * @example
 * meanFromSummary({ quartileLower: 5, median: 8, quartileUpper: 12, total: 49 }) // 8.354
 */
export function meanFromSummary(
  summary: FiveNumberSummary,
  method: MeanFromSummaryMethod = 'luo-2018',
): number {
  requireOneOf('mean', method, meanFromSummaryMethods);
  const scenario = summaryScenario(summary);
  const { median, total } = summary;
  if (median === undefined) throw new RangeError('median must be given to work out a mean; received nothing');
  requireFinite('median', median);
  const weights = weightsOf(method, scenario, total);
  // As distances from the median, so that a large offset costs no digits.
  const middle = (low: number | undefined, high: number | undefined): number =>
    low === undefined || high === undefined ? 0 : (low - median) / 2 + (high - median) / 2;
  return requireResult(
    'mean',
    median +
      weights.range * middle(summary.minimum, summary.maximum) +
      weights.quartiles * middle(summary.quartileLower, summary.quartileUpper),
  );
}

/** Weights of the mid-range and of the mid-quartile; the median has the rest. */
function weightsOf(
  method: MeanFromSummaryMethod,
  scenario: SummaryScenario,
  n: number,
): { readonly range: number; readonly quartiles: number } {
  if (method === 'hozo-2005') {
    if (scenario === 'quartiles') {
      throw new RangeError(
        'mean "hozo-2005" needs minimum and maximum; allowed with quartiles alone: luo-2018, wan-2014',
      );
    }
    return { range: n <= 25 ? 1 / 2 : 0, quartiles: 0 };
  }
  if (method === 'wan-2014') {
    if (scenario === 'range') return { range: 1 / 2, quartiles: 0 };
    if (scenario === 'quartiles') return { range: 0, quartiles: 2 / 3 };
    return { range: 1 / 4, quartiles: 1 / 2 };
  }
  if (scenario === 'range') return { range: 4 / (4 + n ** 0.75), quartiles: 0 };
  if (scenario === 'quartiles') return { range: 0, quartiles: 0.7 + 0.39 / n };
  return { range: 2.2 / (2.2 + n ** 0.75), quartiles: 0.7 - 0.72 / n ** 0.55 };
}
