import { type PooledSample, weightedMean } from '../../pooling/pooledSample.ts';
import { sumsAtManyVariances } from './sumsAtManyVariances.ts';

/** The DerSimonian-Laird pool of all studies but one, one row a study. Means are distances from the sample's centre. */
export interface MomentsWithoutEach {
  readonly q: Float64Array;
  readonly betweenStudyVariances: Float64Array;
  readonly distances: Float64Array;
  readonly weightSums: Float64Array;
  /** Weighted squared distances from the mean at the row's own between-study variance. */
  readonly scatter: Float64Array;
}

/**
 * What does each study's absence do, for thousands of studies at once?
 *
 * With `W = Σ w`, common mean μ and `w = 1 / v`, leaving out study i gives
 * `Q₋ᵢ = Q - wᵢ (yᵢ - μ)² W / (W - wᵢ)`, the moment scale `Σ w - Σ w² / Σ w` over the others, and from them τ²₋ᵢ.
 * The means at all those τ² come from {@link sumsAtManyVariances}. Linear in the number of studies.
 *
 * Source: DerSimonian R, Laird N, Control Clin Trials 1986;7:177-188, equation 8; the downdating is that of deleting
 * a row from a weighted mean (Cook RD, Weisberg S, Residuals and Influence in Regression, 1982, section 2.2).
 *
 * @param sample two or more studies
 * @param randomEffects false leaves the weights at `1 / v`; the between-study variance is still estimated
 */
export function momentsWithoutEach(sample: PooledSample, randomEffects = true): MomentsWithoutEach {
  const { count, distances, variances } = sample;
  const common = weightedMean(sample, 0);
  const W = common.weightSum;
  const q = new Float64Array(count);
  const between = new Float64Array(count);
  let pairs = 0;
  for (let i = 0; i < count; i++) {
    const w = 1 / variances[i]!;
    // Twice the sum of w w' over pairs of studies: W² - Σ w² without its cancellation.
    pairs += w * (W - w);
  }
  for (let i = 0; i < count; i++) {
    const w = 1 / variances[i]!;
    const rest = i === sample.mostPrecise || w > 0.5 * W ? sumOfOthers(sample, i) : W - w;
    const residual = distances[i]! - common.distance;
    const downdated = common.q - (w * residual * residual * W) / rest;
    const pairsLeft = pairs - 2 * w * rest;
    // Where one study is nearly everything, what is left would be rounding: it is summed afresh. That can be so of
    // one or two studies only.
    const afresh =
      rest < 0.01 * W || pairsLeft < 0.01 * pairs || (downdated < 0.01 * common.q && common.q > 0);
    const left = afresh ? othersAfresh(sample, i) : undefined;
    q[i] = left ? left.q : downdated;
    const scale = left ? left.scale : pairsLeft / rest;
    const excess = q[i]! - (count - 2);
    between[i] = count > 2 && excess > 0 ? excess / scale : 0;
  }
  const at = randomEffects ? between : new Float64Array(count);
  const sums = sumsAtManyVariances(sample, at);
  const means = new Float64Array(count);
  const weightSums = new Float64Array(count);
  const scatter = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const w = 1 / (variances[i]! + at[i]!);
    const y = distances[i]!;
    const weights = sums.weights[i]! - w;
    const weighted = sums.weighted[i]! - w * y;
    const squares = sums.squares[i]!;
    const scattered = squares - w * y * y - (weighted * weighted) / weights;
    if (w > 0.9 * sums.weights[i]! || (scattered <= 0.01 * squares && squares > 0)) {
      meanOfOthers(sample, i, at[i]!, means, weightSums, scatter);
      continue;
    }
    weightSums[i] = weights;
    means[i] = weighted / weights;
    scatter[i] = scattered;
  }
  return { q, betweenStudyVariances: between, distances: means, weightSums, scatter };
}

function sumOfOthers({ count, variances }: PooledSample, without: number): number {
  let sum = 0;
  for (let i = 0; i < count; i++) if (i !== without) sum += 1 / variances[i]!;
  return sum;
}

function others(sample: PooledSample, without: number): PooledSample {
  const keep = (_: number, i: number): boolean => i !== without;
  const variances = sample.variances.filter(keep);
  return {
    count: sample.count - 1,
    centre: sample.centre,
    distances: sample.distances.filter(keep),
    variances,
    mostPrecise: variances.indexOf(Math.min(...variances)),
    scratch: sample.scratch.subarray(1),
  };
}

function othersAfresh(sample: PooledSample, without: number): { q: number; scale: number } {
  const left = others(sample, without);
  const { weightSum, q } = weightedMean(left, 0);
  let pairs = 0;
  for (const variance of left.variances) pairs += (weightSum - 1 / variance) / variance;
  return { q, scale: pairs / weightSum };
}

function meanOfOthers(
  sample: PooledSample,
  without: number,
  variance: number,
  means: Float64Array,
  weightSums: Float64Array,
  scatter: Float64Array,
): void {
  const mean = weightedMean(others(sample, without), variance);
  means[without] = mean.distance;
  weightSums[without] = mean.weightSum;
  scatter[without] = mean.q;
}
