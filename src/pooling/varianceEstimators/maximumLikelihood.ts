import type { Caution } from '../caution.ts';
import { likelihoodPeaks } from '../likelihoodPeaks.ts';
import type { PooledSample } from '../pooledSample.ts';
import type { VarianceEstimatorMethod } from '../varianceEstimatorMethods.ts';
import { fromInformation } from '../varianceStandardErrors.ts';

/**
 * Under which between-study variance are the values seen most likely?
 *
 * The highest peak of the likelihood with the mean at its best; biased downwards since the mean is taken as known.
 * When there is more than one peak the result says so. Standard error from the expected information, `sqrt(2 / Σ w²)`.
 *
 * Source: Hardy RJ, Thompson SG, Stat Med 1996;15:619-629.
 */
export const maximumLikelihood: VarianceEstimatorMethod = {
  id: 'maximum-likelihood',
  name: 'maximum-likelihood method',
  source: 'Hardy RJ, Thompson SG. Stat Med 1996;15:619-629',
  estimate: (sample) => highestPeak(sample, false),
  standardError: (sample, _common, variance) => fromInformation(sample, variance, false),
  likelihood: 'full',
};

/**
 * Under which between-study variance are the distances between the values most likely, whatever the mean?
 *
 * The highest peak of the restricted likelihood. When there is more than one peak the result says so. Standard error from
 * the expected information, `sqrt(2 / [Σ w² - 2 Σ w³ / Σ w + (Σ w² / Σ w)²])`.
 *
 * Source: Viechtbauer W, J Educ Behav Stat 2005;30:261-293; Raudenbush SW, in: The Handbook of Research Synthesis
 * and Meta-Analysis, 2nd ed. 2009, chapter 16.
 */
export const restrictedMaximumLikelihood: VarianceEstimatorMethod = {
  id: 'restricted-maximum-likelihood',
  name: 'restricted maximum-likelihood method',
  source: 'Viechtbauer W. J Educ Behav Stat 2005;30:261-293',
  estimate: (sample) => highestPeak(sample, true),
  standardError: (sample, _common, variance) => fromInformation(sample, variance, true),
  likelihood: 'restricted',
};

function highestPeak(sample: PooledSample, restricted: boolean): { value: number; cautions?: Caution[] } {
  const [highest, second] = likelihoodPeaks(sample, restricted);
  if (!second) return { value: highest!.betweenStudyVariance };
  const [one, two] = [highest!, second].map(({ betweenStudyVariance }) =>
    Number(betweenStudyVariance.toPrecision(3)),
  );
  return {
    value: highest!.betweenStudyVariance,
    cautions: [
      {
        code: 'two-likelihood-peaks',
        message: `The likelihood has two peaks, at between-study variances of ${one} and ${two}: the higher one is used, and the data hardly tell them apart when the heights are close (${(highest!.logLikelihood - second.logLikelihood).toFixed(2)} apart).`,
      },
    ],
  };
}
