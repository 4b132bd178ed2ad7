import { chiSquareQuantile } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import { findRoot } from '../../numerics/rootFinding.ts';
import { likelihoodPeaks } from '../likelihoodPeaks.ts';
import type { VarianceIntervalInput, VarianceIntervalMethod } from '../varianceIntervalMethods.ts';
import { varianceLikelihood } from '../varianceLikelihood.ts';

/**
 * Which between-study variances make the values seen not much less likely than the best one does?
 *
 * The τ² at which `2 [max ℓ - ℓ(τ²)]`, the mean at its best for each, reaches the chi-square quantile with one
 * degree of freedom. Where the likelihood has two peaks the limits are the outermost crossings. Centred on the
 * maximum-likelihood variance, whatever the point estimate.
 *
 * Source: Hardy RJ, Thompson SG, Stat Med 1996;15:619-629, section 3.
 */
export const profileLikelihood: VarianceIntervalMethod = {
  id: 'profile-likelihood',
  name: 'profile-likelihood',
  source: 'Hardy RJ, Thompson SG. Stat Med 1996;15:619-629',
  interval: (input) => likelihoodLimits(input, false),
};

/**
 * The same from the restricted likelihood, which allows for the mean being estimated.
 *
 * Source: Viechtbauer W, Stat Med 2007;26:37-52, section 3.3.
 */
export const profileRestrictedLikelihood: VarianceIntervalMethod = {
  id: 'profile-restricted-likelihood',
  name: 'restricted profile-likelihood',
  source: 'Viechtbauer W. Stat Med 2007;26:37-52',
  interval: (input) => likelihoodLimits(input, true),
};

function likelihoodLimits(
  { sample, level }: VarianceIntervalInput,
  restricted: boolean,
): Interval | undefined {
  if (sample.count < 2) return undefined;
  const peaks = likelihoodPeaks(sample, restricted);
  const limit = chiSquareQuantile(level, 1);
  const excess = (variance: number): number =>
    2 * (peaks[0]!.logLikelihood - varianceLikelihood(sample, variance, restricted).logLikelihood) - limit;
  const inside = peaks.filter((peak) => excess(peak.betweenStudyVariance) <= 0);
  const first = Math.min(...inside.map((peak) => peak.betweenStudyVariance));
  const last = Math.max(...inside.map((peak) => peak.betweenStudyVariance));
  let top = Math.max(2 * last, sample.variances[sample.mostPrecise]!);
  for (let doubling = 0; excess(top) < 0 && doubling < 500; doubling++) top *= 2;
  return {
    lower: first === 0 || excess(0) <= 0 ? 0 : findRoot(excess, 0, first).root,
    upper: findRoot(excess, last, top).root,
    level,
  };
}
