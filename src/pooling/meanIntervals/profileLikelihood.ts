import { chiSquareQuantile, chiSquareUpperTail } from '../../numerics/distributions.ts';
import { findRoot } from '../../numerics/rootFinding.ts';
import { likelihoodPeaks } from '../likelihoodPeaks.ts';
import type { MeanIntervalMethod } from '../meanIntervalMethods.ts';
import type { PooledSample, WeightedMean } from '../pooledSample.ts';
import { varianceLikelihood } from '../varianceLikelihood.ts';

/**
 * Which means make the values seen not much less likely than the best one does?
 *
 * The μ at which `2 [ℓ(μ̂, τ̂²) - max over τ² of ℓ(μ, τ²)]` reaches the chi-square quantile with one degree of
 * freedom. Centred on the maximum-likelihood mean and not symmetric around it.
 *
 * Source: Hardy RJ, Thompson SG, Stat Med 1996;15:619-629, section 3.
 */
export const profileLikelihood: MeanIntervalMethod = {
  id: 'profile-likelihood',
  name: 'profile-likelihood',
  source: 'Hardy RJ, Thompson SG. Stat Med 1996;15:619-629',
  reach: (sample, mean, level) => reachOf(sample, mean, level, 1),
  pValue: (sample, mean, distance) => pValueOf(sample, mean, distance, 1),
};

/**
 * The same, with the ratio divided by how much it exceeds one on average in few studies.
 *
 * The likelihood ratio has expectation `1 + 2 [Σ w³ / (Σ w Σ w²) - Σ w² / (4 (Σ w)²)]` to order 1/k, here at the
 * maximum-likelihood τ²; with equal variances this is `1 + 3 / (2k)`, as for the t-test of one mean.
 *
 * Source: Lawley DN, Biometrika 1956;43:295-303 (the general expansion, from which the expression follows); Noma H,
 * Stat Med 2011;30:3304-3312; Huizenga HM et al., Br J Math Stat Psychol 2011;64:1-19.
 */
export const bartlettProfileLikelihood: MeanIntervalMethod = {
  id: 'bartlett-profile-likelihood',
  name: 'Bartlett-corrected profile-likelihood',
  source: 'Noma H. Stat Med 2011;30:3304-3312',
  reach: (sample, mean, level) =>
    reachOf(sample, mean, level, bartlettFactor(sample, mean.betweenStudyVariance)),
  pValue: (sample, mean, distance) =>
    pValueOf(sample, mean, distance, bartlettFactor(sample, mean.betweenStudyVariance)),
};

/** How much larger than one degree of freedom the likelihood ratio for the mean is on average. */
export function bartlettFactor(sample: PooledSample, betweenStudyVariance: number): number {
  let first = 0;
  let second = 0;
  let third = 0;
  for (let i = 0; i < sample.count; i++) {
    const weight = 1 / (sample.variances[i]! + betweenStudyVariance);
    first += weight;
    second += weight * weight;
    third += weight * weight * weight;
  }
  return 1 + 2 * (third / (first * second) - second / (4 * first * first));
}

/** Twice the drop of the log-likelihood when the mean is held at `distance` from the sample's centre. */
function likelihoodRatio(sample: PooledSample, mean: WeightedMean, distance: number): number {
  const best = varianceLikelihood(sample, mean.betweenStudyVariance, false).logLikelihood;
  return Math.max(0, 2 * (best - likelihoodPeaks(sample, false, distance)[0]!.logLikelihood));
}

function reachOf(sample: PooledSample, mean: WeightedMean, level: number, factor: number) {
  if (sample.count < 2) return undefined;
  const limit = factor * chiSquareQuantile(level, 1);
  const standardError = Math.sqrt(1 / mean.weightSum);
  const side = (direction: 1 | -1): number => {
    const excess = (margin: number): number =>
      likelihoodRatio(sample, mean, mean.distance + direction * margin) - limit;
    let upper = 2 * standardError;
    for (let doubling = 0; excess(upper) < 0 && doubling < 200; doubling++) upper *= 2;
    return findRoot(excess, 0, upper).root;
  };
  return { standardError, below: side(-1), above: side(1) };
}

function pValueOf(
  sample: PooledSample,
  mean: WeightedMean,
  distance: number,
  factor: number,
): number | undefined {
  if (sample.count < 2) return undefined;
  return chiSquareUpperTail(likelihoodRatio(sample, mean, distance) / factor, 1);
}
