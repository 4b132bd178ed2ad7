import type { Estimate } from '../../effects/estimate.ts';
import { normalUpperTail } from '../../numerics/distributions.ts';
import { checkOptionNames } from '../../pooling/optionChecks.ts';
import {
  answerBase,
  refusal,
  refuse,
  type SmallStudyBase,
  type SmallStudyOptions,
  type SmallStudyRefusal,
  studiesAmong,
} from './smallStudyAnswer.ts';

/** Up to this many untied studies the p-value counts orderings instead of leaning on the normal curve. */
export const mostStudiesCounted = 49;

export interface RankCorrelation extends SmallStudyBase {
  readonly kind: 'rank-correlation';
  /** Kendall's tau-b. */
  readonly tau: number;
  /** Concordant less discordant pairs. */
  readonly score: number;
  readonly z: number;
  /** Two-sided, from the normal curve, without and with a continuity correction of 1 in the score. */
  readonly pValue: number;
  readonly pValueCorrected: number;
  /** Two-sided, by counting orderings; undefined with ties and above {@link mostStudiesCounted} studies. */
  readonly pValueExact: number | undefined;
}

/**
 * Do effects and variances rise and fall together?
 *
 * Kendall's rank correlation of `(y - μ) / √(v - 1 / Σ w)` and v, with μ the common-effect mean and `w = 1 / v`. The
 * variance of the score allows for ties. Weak with few studies.
 *
 * Sources: Begg CB, Mazumdar M, Biometrics 1994;50:1088-1101; Kendall MG, Rank Correlation Methods, 4th ed. 1970,
 * chapters 4 and 5 (ties, counting).
 *
 * @throws RangeError as `poolEstimates` for impossible estimates, and for an unknown option
 * @example
 * beggMazumdarTest(estimates)
 */
export function beggMazumdarTest(
  estimates: readonly Estimate[],
  options: SmallStudyOptions = {},
): RankCorrelation | SmallStudyRefusal {
  checkOptionNames(options, ['force', 'level']);
  const method = 'Begg-Mazumdar rank correlation test';
  const refused = refuse(method, estimates, options);
  if (refused) return refused;
  const centre = estimates[0]!.value;
  let weightSum = 0;
  let weighted = 0;
  for (const { value, variance } of estimates) {
    weightSum += 1 / variance;
    weighted += (value - centre) / variance;
  }
  const mean = weighted / weightSum;
  const deviates = estimates.map(
    ({ value, variance }) => (value - centre - mean) / Math.sqrt(variance - 1 / weightSum),
  );
  const variances = estimates.map(({ variance }) => variance);
  const ranks = kendall(deviates, variances);
  if (!ranks || !deviates.every(Number.isFinite)) {
    return refusal(method, studiesAmong(estimates), 'the studies cannot be put in order by precision');
  }
  const { score, tau, deviation, tied } = ranks;
  const z = score / deviation;
  const corrected = Math.max(0, Math.abs(score) - 1) / deviation;
  const count = estimates.length;
  return {
    kind: 'rank-correlation',
    ...answerBase(method, 'Begg CB, Mazumdar M. Biometrics 1994;50:1088-1101', estimates),
    tau,
    score,
    z,
    pValue: 2 * normalUpperTail(Math.abs(z)),
    pValueCorrected: 2 * normalUpperTail(corrected),
    pValueExact: tied || count > mostStudiesCounted ? undefined : exactPValue(score, count),
  };
}

interface Ranks {
  readonly score: number;
  readonly tau: number;
  readonly deviation: number;
  readonly tied: boolean;
}

function kendall(x: readonly number[], y: readonly number[]): Ranks | undefined {
  const n = x.length;
  let score = 0;
  for (let i = 1; i < n; i++) {
    for (let j = 0; j < i; j++) score += Math.sign(x[i]! - x[j]!) * Math.sign(y[i]! - y[j]!);
  }
  const tiesX = tieSums(x);
  const tiesY = tieSums(y);
  const pairs = (n * (n - 1)) / 2;
  const untied = (pairs - tiesX.pairs / 2) * (pairs - tiesY.pairs / 2);
  if (!(untied > 0)) return undefined;
  const variance =
    (n * (n - 1) * (2 * n + 5) - tiesX.five - tiesY.five) / 18 +
    (tiesX.pairs * tiesY.pairs) / (2 * n * (n - 1)) +
    (tiesX.triples * tiesY.triples) / (9 * n * (n - 1) * (n - 2));
  return {
    score,
    tau: score / Math.sqrt(untied),
    deviation: Math.sqrt(variance),
    tied: tiesX.pairs + tiesY.pairs > 0,
  };
}

/** Sums over groups of t equal values: t(t-1), t(t-1)(t-2), t(t-1)(2t+5). */
function tieSums(values: readonly number[]): { pairs: number; triples: number; five: number } {
  const groups = new Map<number, number>();
  for (const value of values) groups.set(value, (groups.get(value) ?? 0) + 1);
  let pairs = 0;
  let triples = 0;
  let five = 0;
  for (const t of groups.values()) {
    pairs += t * (t - 1);
    triples += t * (t - 1) * (t - 2);
    five += t * (t - 1) * (2 * t + 5);
  }
  return { pairs, triples, five };
}

/** Twice the smaller tail of the number of concordant pairs over all orderings, at most 1. */
function exactPValue(score: number, count: number): number {
  // Share of the orderings of n with so many concordant pairs, built up from those of n - 1.
  let shares = [1];
  for (let n = 2; n <= count; n++) {
    const next = new Array<number>(shares.length + n - 1).fill(0);
    for (const [pairs, share] of shares.entries())
      for (let more = 0; more < n; more++) next[pairs + more]! += share / n;
    shares = next;
  }
  const concordant = Math.round((count * (count - 1)) / 4 + score / 2);
  const tail = (from: number, to: number): number =>
    shares.slice(from, to).reduce((sum, share) => sum + share, 0);
  return Math.min(1, 2 * Math.min(tail(0, concordant + 1), tail(concordant, shares.length)));
}
