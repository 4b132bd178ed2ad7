import type { Estimate } from '../../effects/estimate.ts';
import type { PooledResult } from '../../pooling/pooledResult.ts';
import type { PoolOptions } from '../../pooling/poolOptions.ts';
import { type LeaveOneOut, leaveOneOut, type WithoutStudy } from './leaveOneOut.ts';

/** Where a measure is marked as large. Rules of thumb, not tests (Viechtbauer and Cheung 2010, section 3). */
export const influenceMarks = {
  /** Absolute externally standardised residual. */
  residual: 1.96,
  /** Cook-type distance: the median of a chi-square with one degree of freedom. */
  cookDistance: 0.45493642311957283,
  /** Absolute standardised change of the mean. */
  standardisedChange: 1,
  /** Hat value, as a multiple of the mean hat value 1 / k. */
  timesMeanHatValue: 3,
} as const;

/** What one estimate does to the pool. */
export interface StudyInfluence extends WithoutStudy {
  /** Share of the weight: how far the mean moves when this estimate's value moves by one. */
  readonly hatValue: number;
  /** Distance from the mean of the others, in standard errors of that distance. */
  readonly residual: number | undefined;
  /** Squared change of the mean over its squared standard error. */
  readonly cookDistance: number | undefined;
  /** Change of the mean over its standard error at the between-study variance of the others. */
  readonly standardisedChange: number | undefined;
  /** Variance of the mean without the estimate over that with it: above 1, the estimate makes the mean firmer. */
  readonly varianceRatio: number | undefined;
  /** Share of Cochran's Q that is this estimate's squared distance from the common-effect mean, 0 to 1. */
  readonly shareOfQ: number | undefined;
  /** Squared change of the common-effect mean, in variances of the mean without the estimate. */
  readonly pullOnMean: number | undefined;
  /** Between-study variance and I² without the estimate less those with it. */
  readonly varianceChange: number | undefined;
  readonly iSquaredChange: number | undefined;
  /** Which measures exceed {@link influenceMarks}. */
  readonly marked: readonly ('residual' | 'cookDistance' | 'standardisedChange' | 'hatValue')[];
}

export interface InfluenceResult {
  readonly kind: 'influence';
  readonly whole: PooledResult;
  readonly studies: readonly StudyInfluence[];
}

/**
 * Which estimate pulls the answer, and how?
 *
 * With μ, τ² from all k estimates and μ₋ᵢ, τ²₋ᵢ from all but the i-th, and `w = 1 / (v + τ²)`: hat value
 * `wᵢ / Σ w`; residual `(yᵢ - μ₋ᵢ) / √(vᵢ + τ²₋ᵢ + 1 / Σ₋ᵢ w₋ᵢ)`; Cook-type distance `(μ - μ₋ᵢ)² Σ w`; standardised
 * change `(μ - μ₋ᵢ) √(Σ 1 / (v + τ²₋ᵢ))` over all k; variance ratio `Σ w / Σ₋ᵢ w₋ᵢ`. The pulls are those of the
 * common-effect pool: on Q `(yᵢ - μ_c)² / vᵢ` as a share of Q, on the mean `(μ_c - μ_c₋ᵢ)² Σ₋ᵢ 1/v`. Standard errors
 * are those of the weights whatever the interval method.
 *
 * @param estimates values and variances on one scale; each is left out by itself
 * @param options as for {@link poolEstimates}
 * @returns undefined measures where fewer than two estimates leave nothing to compare with
 * @throws RangeError as {@link poolEstimates}
 *
 * Sources: Viechtbauer W, Cheung MW-L, Res Synth Methods 2010;1:112-125, section 3; the pulls: Baujat B, Mahé C,
 * Pignon J-P, Hill C, Stat Med 2002;21:2641-2652.
 *
 * @example
 * influence(estimates).studies.filter((study) => study.marked.length > 0).map((study) => study.label)
 */
export function influence(estimates: readonly Estimate[], options: PoolOptions = {}): InfluenceResult {
  const omitted: LeaveOneOut = leaveOneOut(estimates, { ...options, unit: 'estimate' });
  const { whole } = omitted;
  const count = estimates.length;
  const tau2 = usedVariance(whole, whole.heterogeneity?.betweenStudyVariance);
  const weightSum = weightSumAt(estimates, tau2);
  const common = commonMean(estimates);
  const studies = omitted.without.map((without, i): StudyInfluence => {
    const { value, variance } = estimates[i]!;
    const { mean } = without;
    const base = { ...without, hatValue: whole.estimates[i]!.weight };
    if (mean === undefined || whole.mean === undefined || whole.heterogeneity === undefined) {
      return { ...base, ...noAnswer };
    }
    const left = usedVariance(whole, without.heterogeneity?.betweenStudyVariance);
    const atLeft = weightSumAt(estimates, left);
    const othersWeight = atLeft - 1 / (variance + left);
    const change = whole.mean.value - mean.value;
    const cookDistance = change * change * weightSum;
    const standardisedChange = change * Math.sqrt(atLeft);
    const residual = (value - mean.value) / Math.sqrt(variance + left + 1 / othersWeight);
    const weight = 1 / variance;
    const others = common.weightSum - weight;
    const distance = value - common.mean;
    const { q } = whole.heterogeneity;
    const commonChange = (weight * distance) / others;
    const marked: StudyInfluence['marked'][number][] = [];
    if (Math.abs(residual) > influenceMarks.residual) marked.push('residual');
    if (cookDistance > influenceMarks.cookDistance) marked.push('cookDistance');
    if (Math.abs(standardisedChange) > influenceMarks.standardisedChange) marked.push('standardisedChange');
    if (base.hatValue > influenceMarks.timesMeanHatValue / count) marked.push('hatValue');
    return {
      ...base,
      residual,
      cookDistance,
      standardisedChange,
      varianceRatio: weightSum / othersWeight,
      shareOfQ: q > 0 ? Math.min(1, (weight * distance * distance) / q) : undefined,
      pullOnMean: commonChange * commonChange * others,
      varianceChange:
        without.heterogeneity &&
        without.heterogeneity.betweenStudyVariance - whole.heterogeneity.betweenStudyVariance,
      iSquaredChange: without.heterogeneity && without.heterogeneity.iSquared - whole.heterogeneity.iSquared,
      marked,
    };
  });
  return { kind: 'influence', whole, studies };
}

const noAnswer = {
  residual: undefined,
  cookDistance: undefined,
  standardisedChange: undefined,
  varianceRatio: undefined,
  shareOfQ: undefined,
  pullOnMean: undefined,
  varianceChange: undefined,
  iSquaredChange: undefined,
  marked: [],
} as const;

/** The between-study variance the weights use: none under a common effect. */
const usedVariance = (whole: PooledResult, estimated: number | undefined): number =>
  whole.options.model === 'random-effects' ? (estimated ?? 0) : 0;

function weightSumAt(estimates: readonly Estimate[], betweenStudyVariance: number): number {
  let sum = 0;
  for (const { variance } of estimates) sum += 1 / (variance + betweenStudyVariance);
  return sum;
}

function commonMean(estimates: readonly Estimate[]): { mean: number; weightSum: number } {
  const first = estimates[0]?.value ?? 0;
  let weightSum = 0;
  let weighted = 0;
  for (const { value, variance } of estimates) {
    weightSum += 1 / variance;
    weighted += (value - first) / variance;
  }
  return { mean: first + weighted / weightSum, weightSum };
}
