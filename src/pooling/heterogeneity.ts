import { chiSquareUpperTail, normalQuantile } from '../numerics/distributions.ts';
import type { Interval } from '../numerics/interval.ts';
import type { Heterogeneity } from './pooledResult.ts';
import type { PooledSample, WeightedMean } from './pooledSample.ts';
import type { ResolvedPoolOptions } from './poolOptions.ts';
import { momentScale } from './varianceEstimators/derSimonianLaird.ts';
import { varianceIntervalMethods } from './varianceIntervalMethods.ts';

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
  // The sampling variance of a typical study (Higgins and Thompson 2002, equation 9).
  const typical = degreesOfFreedom / momentScale(sample, common);
  const hSquaredInterval = testBasedHSquaredInterval(q, sample.count, level);
  return {
    q,
    degreesOfFreedom,
    pValue: chiSquareUpperTail(q, degreesOfFreedom),
    betweenStudyVariance,
    betweenStudyVarianceInterval: varianceInterval,
    iSquared: q > degreesOfFreedom ? (q - degreesOfFreedom) / q : 0,
    iSquaredInterval: hSquaredInterval && {
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
 * `exp(ln H ± z SE)` squared, each limit at least 1, with
 * `SE = (ln Q - ln df) / (2 (sqrt(2Q) - sqrt(2k - 3)))` where Q exceeds k and
 * `SE = sqrt((1 - 1 / (3 (k - 2)²)) / (2 (k - 2)))` otherwise. ln H is not truncated before the interval is
 * formed. Undefined where the formula has no value (k = 2 with Q at most 2, Q of zero) or collapses to a single
 * point at 1, which would claim a certainty that few, agreeing studies cannot give.
 *
 * Source: Higgins JPT, Thompson SG, Stat Med 2002;21:1539-1558, appendix A.2. I² limits are 1 - 1/H².
 *
 * @param q Cochran's Q, zero or more
 * @param count number of studies, two or more
 */
export function testBasedHSquaredInterval(q: number, count: number, level: number): Interval | undefined {
  const degreesOfFreedom = count - 1;
  if (q === 0) return undefined;
  if (q <= count && count === 2) return undefined;
  const logRatio = Math.log(q) - Math.log(degreesOfFreedom);
  const standardError =
    q > count
      ? (0.5 * logRatio) / (Math.sqrt(2 * q) - Math.sqrt(2 * count - 3))
      : Math.sqrt((1 - 1 / (3 * (count - 2) ** 2)) / (2 * (count - 2)));
  const z = -normalQuantile((1 - level) / 2);
  // Twice ln H and twice its margin: limits of H² directly.
  const lower = Math.max(1, Math.exp(logRatio - 2 * z * standardError));
  const upper = Math.max(1, Math.exp(logRatio + 2 * z * standardError));
  return upper > 1 ? { lower, upper, level } : undefined;
}
