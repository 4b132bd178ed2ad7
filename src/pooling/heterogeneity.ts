import { chiSquareUpperTail, normalQuantile } from '../numerics/distributions.ts';
import type { Interval } from '../numerics/interval.ts';
import { homogeneityTest } from './homogeneityTest.ts';
import type { Heterogeneity } from './pooledResult.ts';
import type { PooledSample, WeightedMean } from './pooledSample.ts';
import type { ResolvedPoolOptions } from './poolOptions.ts';
import { varianceEstimatorMethods } from './varianceEstimatorMethods.ts';
import { momentScale } from './varianceEstimators/momentScale.ts';
import { varianceIntervalMethods } from './varianceIntervalMethods.ts';
import { varianceLikelihood } from './varianceLikelihood.ts';

/**
 * How much do the studies differ beyond chance?
 *
 * `Q = Σ w (y - μ)²` with `w = 1 / v`, `I² = max(0, (Q - df) / Q)`, `H² = max(1, Q / df)`.
 *
 * Source: Higgins JPT, Thompson SG, Stat Med 2002;21:1539-1558, sections 3 and 4.
 */
export function heterogeneityOf(
  sample: PooledSample,
  common: WeightedMean,
  betweenStudyVariance: number,
  options: ResolvedPoolOptions,
): Heterogeneity {
  const { level } = options;
  const q = common.q;
  const degreesOfFreedom = sample.count - 1;
  const varianceInterval = varianceIntervalMethods[options.varianceInterval].interval({
    sample,
    common,
    level,
    estimate: betweenStudyVariance,
    estimator: options.betweenStudyVariance,
  });
  const estimator = varianceEstimatorMethods[options.betweenStudyVariance];
  const logLikelihoodAt = (variance: number): number =>
    varianceLikelihood(sample, variance, estimator.likelihood === 'restricted').logLikelihood;
  const logLikelihood = estimator.likelihood && logLikelihoodAt(betweenStudyVariance);
  // The sampling variance of a typical study (Higgins and Thompson 2002, equation 9).
  const typical = degreesOfFreedom / momentScale(sample, common);
  const hSquaredInterval = testBasedHSquaredInterval(q, sample.count, level);
  return {
    q,
    degreesOfFreedom,
    pValue: chiSquareUpperTail(q, degreesOfFreedom),
    betweenStudyVariance,
    betweenStudyVarianceStandardError: estimator.standardError?.(sample, common, betweenStudyVariance),
    betweenStudyVarianceInterval: varianceInterval,
    logLikelihood,
    likelihoodRatio:
      logLikelihood === undefined ? undefined : homogeneityTest(logLikelihood, logLikelihoodAt(0)),
    iSquared: q > degreesOfFreedom ? (q - degreesOfFreedom) / q : 0,
    iSquaredInterval: {
      lower: 1 - 1 / hSquaredInterval.lower,
      upper: 1 - 1 / hSquaredInterval.upper,
      level,
    },
    iSquaredFromVariance: {
      value: betweenStudyVariance / (betweenStudyVariance + typical),
      interval: varianceInterval && {
        lower: varianceInterval.lower / (varianceInterval.lower + typical),
        upper: varianceInterval.upper / (varianceInterval.upper + typical),
        level,
      },
    },
    hSquared: Math.max(1, q / degreesOfFreedom),
    hSquaredInterval,
  };
}

/**
 * Which values of H² = Q / df are compatible with the Q seen?
 *
 * `exp(ln H ± z SE)` squared, `ln H = max(0, ½ ln(Q / df))` and each limit at least 1, with
 * `SE = (ln Q - ln df) / (2 (sqrt(2Q) - sqrt(2k - 3)))` where Q exceeds k and
 * `SE = sqrt((1 - 1 / (3 (k - 2)²)) / (2 (k - 2)))` otherwise. H is never below 1: studies that agree more closely than
 * chance would have them get the limits of studies that agree as chance has it, and no narrower ones. For two studies
 * with Q at most 2 the paper has no formula; the one above approximates the standard deviation of
 * half the log of a chi-square variable, which for one degree of freedom is `π / √8` and is used there (our extension, no
 * source).
 *
 * Source: Higgins JPT, Thompson SG, Stat Med 2002;21:1539-1558, section 3 and appendix A.2. I² limits are 1 - 1/H².
 *
 * @param q Cochran's Q, zero or more
 * @param count number of studies, two or more
 */
export function testBasedHSquaredInterval(q: number, count: number, level: number): Interval {
  const logRatio = Math.max(0, Math.log(q / (count - 1)));
  const standardError =
    q > count
      ? (0.5 * logRatio) / (Math.sqrt(2 * q) - Math.sqrt(2 * count - 3))
      : count === 2
        ? Math.PI / Math.sqrt(8)
        : Math.sqrt((1 - 1 / (3 * (count - 2) ** 2)) / (2 * (count - 2)));
  const z = -normalQuantile((1 - level) / 2);
  // Twice ln H and twice its margin: limits of H² directly.
  return {
    lower: Math.max(1, Math.exp(logRatio - 2 * z * standardError)),
    upper: Math.exp(logRatio + 2 * z * standardError),
    level,
  };
}
