import { normalQuantile, normalUpperTail } from './distributions.ts';
import type { Interval } from './interval.ts';

/** How near misses count: not at all, by the distance of the categories, or by its square. */
export const kappaWeights = ['none', 'linear', 'quadratic'] as const;
export type KappaWeights = (typeof kappaWeights)[number];

export interface KappaOptions {
  /** `linear` and `quadratic` need the categories in their order. Or the weights themselves: 1 for agreement. */
  readonly weights?: KappaWeights | readonly (readonly number[])[];
  /** Coverage of the interval, default 0.95. */
  readonly level?: number;
}

/** What a reader of a kappa must also know. */
export const kappaCautions = ['one-category', 'no-width', 'few-pairs', 'skewed'] as const;
export type KappaCautionCode = (typeof kappaCautions)[number];
export interface KappaCaution {
  readonly code: KappaCautionCode;
  readonly message: string;
}

/** Chance-corrected agreement of two observers, with what explains it. */
export interface Kappa {
  readonly kind: 'kappa';
  /** Undefined where chance alone would already agree always: both used one and the same category. */
  readonly kappa: number | undefined;
  /** Large-sample interval from `standardError`, held to −1 to 1. */
  readonly interval: Interval | undefined;
  /** For intervals: does not assume that kappa is 0. */
  readonly standardError: number | undefined;
  /** For the test that agreement is chance alone. */
  readonly nullStandardError: number | undefined;
  /** Two-sided p of that test. */
  readonly nullPValue: number | undefined;
  /** Share of pairs in one category (weighted where weights are). */
  readonly observedAgreement: number;
  /** The same if the two had nothing in common but how often they use each category. */
  readonly chanceAgreement: number;
  /** (k pₒ − 1)/(k − 1): kappa if every category were equally frequent; undefined with weights. */
  readonly prevalenceAdjusted: number | undefined;
  /** Largest minus smallest mean share of a category: 1 where all pairs fall into one. */
  readonly prevalence: number;
  /** Half the sum of differences between the two observers' shares: 0 where they use categories equally often. */
  readonly bias: number;
  readonly pairs: number;
  readonly categories: number;
  readonly options: { readonly weights: KappaOptions['weights'] & {}; readonly level: number };
  readonly cautions: readonly KappaCaution[];
}

/** Pairs below which a large-sample interval is rough (common practice, no source). */
const fewPairs = 30;
/** Prevalence from which kappa falls far below raw agreement (Feinstein and Cicchetti show it at about 0.8). */
const skewed = 0.7;

/**
 * How far do two observers agree beyond what chance would give?
 *
 * κ = (pₒ − pₑ)/(1 − pₑ), with pₒ = Σ w pᵢⱼ and pₑ = Σ w pᵢ. p.ⱼ; without weights w is 1 on the diagonal. Linear
 * weights are 1 − |i − j|/(k − 1), quadratic ones 1 − (i − j)²/(k − 1)². With w̄ᵢ. = Σⱼ w p.ⱼ and w̄.ⱼ = Σᵢ w pᵢ. the variances
 * are
 *
 * - N(1 − pₑ)⁴ · var κ = Σ pᵢⱼ [w(1 − pₑ) − (w̄ᵢ. + w̄.ⱼ)(1 − pₒ)]² − (pₒpₑ − 2pₑ + pₒ)², for the interval;
 * - N(1 − pₑ)² · var₀ κ = Σ pᵢ. p.ⱼ [w − (w̄ᵢ. + w̄.ⱼ)]² − pₑ², for the test of no agreement beyond chance.
 *
 * No words such as "good" come with it: published scales of such words contradict each other.
 *
 * @param counts square table of pairs, first observer in the rows
 * @throws RangeError for a table that is not square, counts that are not whole, no pair, fewer than one category,
 *   unknown weights, or a level outside 0.5 to 1
 * @see Cohen J, Educ Psychol Meas 1960;20:37 and Psychol Bull 1968;70:213 (weights). Fleiss JL, Cohen J, Everitt BS,
 *   Psychol Bull 1969;72:323 (variances). Feinstein AR, Cicchetti DV, J Clin Epidemiol 1990;43:543 (prevalence). Byrt T,
 *   Bishop J, Carlin JB, J Clin Epidemiol 1993;46:423 (bias, prevalence-adjusted kappa).
 * @example
 * cohenKappa([[40, 9], [6, 45]]).kappa // 0.70
 */
export function cohenKappa(counts: readonly (readonly number[])[], options: KappaOptions = {}): Kappa {
  const { level = 0.95, weights = 'none' } = options;
  if (!(typeof level === 'number' && level > 0.5 && level < 1))
    throw new RangeError(`level must lie above 0.5 and below 1, received ${level}`);
  const pairs = checkTable(counts);
  const k = counts.length;
  const w = weightTable(weights, k);
  const rows = counts.map((row) => sum(row) / pairs);
  const columns = counts.map((_, j) => sum(counts.map((row) => row[j]!)) / pairs);
  const rowMeans = w.map((row) => sum(row.map((weight, j) => weight * columns[j]!)));
  const columnMeans = w.map((_, j) => sum(w.map((row, i) => row[j]! * rows[i]!)));
  let observed = 0;
  for (const [i, row] of counts.entries()) for (const [j, n] of row.entries()) observed += w[i]![j]! * n;
  observed /= pairs;
  const chance = sum(rows.map((share, i) => share * rowMeans[i]!));
  const shares = rows.map((share, i) => (share + columns[i]!) / 2);
  const prevalence = k === 1 ? 1 : Math.max(...shares) - Math.min(...shares);
  const bias = sum(rows.map((share, i) => Math.abs(share - columns[i]!))) / 2;
  const cautions: KappaCaution[] = [];
  const common = {
    kind: 'kappa',
    observedAgreement: observed,
    chanceAgreement: chance,
    prevalenceAdjusted: weights === 'none' && k > 1 ? (k * observed - 1) / (k - 1) : undefined,
    prevalence,
    bias,
    pairs,
    categories: k,
    options: { weights, level },
    cautions,
  } as const;
  // Both margins in one cell: decided on the counts, since 1 − pₑ may differ from 0 by rounding.
  if (counts.some((row, i) => row[i] === pairs)) {
    cautions.push({
      code: 'one-category',
      message: `All ${pairs} pairs lie in one category, so chance alone would agree always and kappa has no value.`,
    });
    const none = undefined;
    return {
      ...common,
      kappa: none,
      interval: none,
      standardError: none,
      nullStandardError: none,
      nullPValue: none,
    };
  }
  const beyond = 1 - chance;
  const kappa = observed === 1 ? 1 : (observed - chance) / beyond;
  let spread = 0;
  let nullSpread = 0;
  for (const [i, row] of counts.entries())
    for (const [j, n] of row.entries()) {
      const means = rowMeans[i]! + columnMeans[j]!;
      spread += (n / pairs) * (w[i]![j]! * beyond - means * (1 - observed)) ** 2;
      nullSpread += rows[i]! * columns[j]! * (w[i]![j]! - means) ** 2;
    }
  spread -= (observed * chance - 2 * chance + observed) ** 2;
  nullSpread -= chance ** 2;
  const standardError = kappa === 1 ? 0 : Math.sqrt(Math.max(0, spread) / pairs) / beyond ** 2;
  const nullStandardError = Math.sqrt(Math.max(0, nullSpread) / pairs) / beyond;
  const reach = normalQuantile((1 + level) / 2) * standardError;
  const interval = { lower: Math.max(-1, kappa - reach), upper: Math.min(1, kappa + reach), level };
  if (standardError === 0) {
    const message =
      'The large-sample interval has no width here; it does not mean that kappa is known exactly.';
    cautions.push({ code: 'no-width', message });
  }
  if (pairs < fewPairs) {
    cautions.push({ code: 'few-pairs', message: `Only ${pairs} pairs: the large-sample interval is rough.` });
  }
  if (prevalence >= skewed && k > 1) {
    const message =
      'One category holds nearly all answers, so that kappa can be low although the two nearly always agree; read it beside the raw agreement.';
    cautions.push({ code: 'skewed', message });
  }
  const nullPValue =
    nullStandardError > 0 ? Math.min(1, 2 * normalUpperTail(Math.abs(kappa) / nullStandardError)) : undefined;
  return { ...common, kappa, interval, standardError, nullStandardError, nullPValue };
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

function checkTable(counts: readonly (readonly number[])[]): number {
  if (counts.length === 0) throw new RangeError('counts must have at least one category, received none');
  for (const row of counts) {
    if (row.length !== counts.length)
      throw new RangeError(
        `counts must be square, received ${counts.length} rows and a row of ${row.length}`,
      );
    for (const n of row)
      if (!Number.isSafeInteger(n) || n < 0)
        throw new RangeError(`counts must be whole numbers from 0, received ${n}`);
  }
  const pairs = sum(counts.flat());
  if (pairs === 0) throw new RangeError('counts must hold at least one pair, received 0');
  return pairs;
}

function weightTable(weights: KappaOptions['weights'] & {}, k: number): readonly (readonly number[])[] {
  if (typeof weights !== 'string') {
    const square = weights.length === k && weights.every((row) => row.length === k);
    if (!square) throw new RangeError(`weights must be ${k} rows of ${k}, like the counts`);
    for (const [i, row] of weights.entries())
      for (const [j, weight] of row.entries())
        if (!(typeof weight === 'number' && weight >= 0 && weight <= 1) || (i === j && weight !== 1))
          throw new RangeError(`weights must lie between 0 and 1 and be 1 for agreement, received ${weight}`);
    return weights;
  }
  if (!kappaWeights.includes(weights))
    throw new RangeError(`weights must be one of ${kappaWeights.join(', ')}; received "${String(weights)}"`);
  const distance = (i: number, j: number): number => (k === 1 ? 0 : Math.abs(i - j) / (k - 1));
  return Array.from({ length: k }, (_, i) =>
    Array.from({ length: k }, (_, j) => {
      if (weights === 'none') return i === j ? 1 : 0;
      return weights === 'linear' ? 1 - distance(i, j) : 1 - distance(i, j) ** 2;
    }),
  );
}
