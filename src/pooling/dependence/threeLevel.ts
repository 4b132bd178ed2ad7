import type { Estimate } from '../../effects/estimate.ts';
import { normalQuantile, studentTQuantile } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import { counted } from '../../wording/words.ts';
import type { Caution } from '../caution.ts';
import { naturalSummary } from '../naturalSummary.ts';
import type { NaturalSummary } from '../pooledResult.ts';
import { type LikelihoodPoint, likelihoodPoint, type VarianceComponents } from './restrictedLikelihood.ts';
import { type CovarianceWithinStudy, type StudyCluster, studyClusters } from './studyClusters.ts';

export const threeLevelEstimators = ['restricted-maximum-likelihood', 'maximum-likelihood'] as const;
export type ThreeLevelEstimator = (typeof threeLevelEstimators)[number];

export const threeLevelIntervals = ['t-studies-minus-1', 'wald'] as const;
export type ThreeLevelInterval = (typeof threeLevelIntervals)[number];

export interface ThreeLevelOptions {
  readonly estimator?: ThreeLevelEstimator;
  readonly interval?: ThreeLevelInterval;
  /** Sampling covariance of two estimates of one study: a function, or one correlation for all; default 0. */
  readonly covarianceWithinStudy?: CovarianceWithinStudy | number;
  readonly level?: number;
}

/** Many estimates per study, one mean. */
export interface ThreeLevelFit {
  readonly kind: 'three-level-fit';
  readonly status: 'converged' | 'boundary' | 'not-converged';
  /** Why, in words, for every status but `converged`. */
  readonly reason: string | undefined;
  readonly options: {
    readonly estimator: ThreeLevelEstimator;
    readonly interval: ThreeLevelInterval;
    /** The correlation used, or that covariances were given pair by pair. */
    readonly covarianceWithinStudy: number | 'given pair by pair';
    readonly level: number;
  };
  readonly studies: number;
  readonly estimates: readonly Estimate[];
  readonly mean: { readonly value: number; readonly standardError: number; readonly interval: Interval };
  /** The same, back-transformed; undefined on the double-arcsine scale, which has no answer without one sample size. */
  readonly natural: NaturalSummary | undefined;
  readonly components: VarianceComponents;
  readonly logLikelihood: number;
  /** Next estimate of a next study; undefined below three studies. */
  readonly prediction: Interval | undefined;
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}

/**
 * What is the mean when some studies give several estimates that are more alike than those of different studies?
 *
 * yᵢⱼ = μ + uⱼ + wᵢⱼ + eᵢⱼ: uⱼ varies between studies, wᵢⱼ between the estimates of one study, eᵢⱼ is sampling
 * error of known (co)variance. Both variances by (restricted) maximum likelihood, Fisher scoring held at or above
 * zero, from several starting points so that a second peak is not mistaken for the first.
 *
 * @param estimates at least two, all on one scale, from at least two studies.
 * @throws RangeError for misuse: too few studies, mixed scales, unknown options, an impossible covariance.
 * @see Konstantopoulos S. Res Synth Methods 2011;2:61-76. Van den Noortgate W et al. Behav Res Methods
 *   2013;45:576-594.
 * @example
 * fitThreeLevel(estimates, { covarianceWithinStudy: 0.5 }).components.withinStudies
 */
export function fitThreeLevel(
  estimates: readonly Estimate[],
  options: ThreeLevelOptions = {},
): ThreeLevelFit {
  const estimator = oneOf('estimator', threeLevelEstimators, options.estimator);
  const interval = oneOf('interval', threeLevelIntervals, options.interval);
  const level = options.level ?? 0.95;
  if (!(typeof level === 'number' && level > 0 && level < 1))
    throw new RangeError(`level must lie between 0 and 1, received ${level}`);
  const covariance = options.covarianceWithinStudy ?? 0;
  for (const { label, value, variance, scale } of estimates) {
    if (!Number.isFinite(value)) throw new RangeError(`value of ${label} must be finite, received ${value}`);
    if (!(typeof variance === 'number' && variance > 0 && variance < Number.POSITIVE_INFINITY)) {
      throw new RangeError(`variance of ${label} must be above 0 and finite, received ${variance}`);
    }
    if (scale !== estimates[0]!.scale) {
      throw new RangeError(`estimates must be on one scale, received ${estimates[0]!.scale} and ${scale}`);
    }
  }
  const clusters = estimates.length > 0 ? studyClusters(estimates, covariance) : [];
  if (clusters.length < 2) {
    throw new RangeError(`estimates must come from at least 2 studies, received ${clusters.length}`);
  }

  const largestCluster = Math.max(...clusters.map(({ positions }) => positions.length));
  const { point, converged } = maximise(
    clusters,
    estimator === 'restricted-maximum-likelihood',
    largestCluster > 1,
  );
  const { betweenStudies, withinStudies } = point.components;
  const degreesOfFreedom = clusters.length - 1;
  const tail = 1 - (1 - level) / 2;
  const quantile = interval === 'wald' ? normalQuantile(tail) : studentTQuantile(tail, degreesOfFreedom);
  const around = (halfWidth: number): Interval => ({
    lower: point.mean - halfWidth,
    upper: point.mean + halfWidth,
    level,
  });
  const meanInterval = around(quantile * point.standardError);
  const prediction =
    clusters.length < 3
      ? undefined
      : around(
          studentTQuantile(tail, degreesOfFreedom) *
            Math.sqrt(betweenStudies + withinStudies + point.standardError ** 2),
        );
  const onBoundary = betweenStudies === 0 || (withinStudies === 0 && largestCluster > 1);
  return {
    kind: 'three-level-fit',
    status: converged ? (onBoundary ? 'boundary' : 'converged') : 'not-converged',
    reason: !converged
      ? 'the likelihood was still rising when the search stopped'
      : onBoundary
        ? `the likelihood is highest with ${betweenStudies === 0 ? 'no variance between studies' : 'no variance within studies'}${betweenStudies === 0 && withinStudies === 0 ? ' and none within them' : ''}`
        : undefined,
    options: {
      estimator,
      interval,
      covarianceWithinStudy: typeof covariance === 'number' ? covariance : 'given pair by pair',
      level,
    },
    studies: clusters.length,
    estimates,
    mean: { value: point.mean, standardError: point.standardError, interval: meanInterval },
    natural: naturalSummary(estimates[0]!.scale, point.mean, meanInterval, prediction, undefined),
    components: point.components,
    logLikelihood: point.logLikelihood,
    prediction,
    cautions: cautionsFor(clusters.length, largestCluster),
    methodsSentence: methodsSentence(estimator, interval, covariance, level),
  };
}

function maximise(
  clusters: readonly StudyCluster[],
  restricted: boolean,
  withinIsIdentified: boolean,
): { point: LikelihoodPoint; converged: boolean } {
  const spread = valueSpread(clusters);
  const starts = [0, 0.1, 1, 4].flatMap((between) =>
    (withinIsIdentified ? [0, 0.1, 1, 4] : [0]).map((within) => ({
      betweenStudies: between * spread,
      withinStudies: within * spread,
    })),
  );
  let best: { point: LikelihoodPoint; converged: boolean } | undefined;
  for (const start of starts) {
    const found = climb(clusters, start, restricted, withinIsIdentified);
    if (found && (!best || found.point.logLikelihood > best.point.logLikelihood + 1e-12)) best = found;
  }
  return best!;
}

/** Fisher scoring with halved steps; a variance at zero whose derivative points below zero stays there. */
function climb(
  clusters: readonly StudyCluster[],
  start: VarianceComponents,
  restricted: boolean,
  withinIsIdentified: boolean,
): { point: LikelihoodPoint; converged: boolean } | undefined {
  let point = likelihoodPoint(clusters, start, restricted);
  if (!point) return undefined;
  for (let iteration = 0; iteration < 500; iteration++) {
    const { betweenStudies, withinStudies } = point.components;
    const [scoreBetween, scoreWithin] = point.score;
    const [bb, bw, ww] = point.information;
    const freeBetween = betweenStudies > 0 || scoreBetween > 0;
    const freeWithin = withinIsIdentified && (withinStudies > 0 || scoreWithin > 0);
    let stepBetween = 0;
    let stepWithin = 0;
    const determinant = bb * ww - bw * bw;
    if (freeBetween && freeWithin && determinant > 1e-12 * bb * ww) {
      stepBetween = (ww * scoreBetween - bw * scoreWithin) / determinant;
      stepWithin = (bb * scoreWithin - bw * scoreBetween) / determinant;
    } else {
      if (freeBetween) stepBetween = scoreBetween / bb;
      if (freeWithin) stepWithin = scoreWithin / ww;
    }
    let next: LikelihoodPoint | undefined;
    for (let share = 1; share > 1e-10; share /= 2) {
      const candidate = likelihoodPoint(
        clusters,
        {
          betweenStudies: Math.max(0, betweenStudies + share * stepBetween),
          withinStudies: Math.max(0, withinStudies + share * stepWithin),
        },
        restricted,
      );
      if (candidate && isBetter(candidate, point)) {
        next = candidate;
        break;
      }
    }
    if (!next) return { point, converged: true };
    const moved =
      Math.abs(next.components.betweenStudies - betweenStudies) +
      Math.abs(next.components.withinStudies - withinStudies);
    const size = next.components.betweenStudies + next.components.withinStudies;
    point = next;
    if (moved <= 1e-14 * size) return { point, converged: true };
  }
  return { point, converged: false };
}

/** Higher, or (within rounding of the summit, where heights no longer tell) flatter. */
function isBetter(candidate: LikelihoodPoint, point: LikelihoodPoint): boolean {
  const gain = candidate.logLikelihood - point.logLikelihood;
  const noise = 1e-12 * (1 + Math.abs(point.logLikelihood));
  return gain > noise || (gain > -noise && steepness(candidate) < steepness(point));
}

/** Size of the score over the variances that are free to move. */
function steepness({ components, score }: LikelihoodPoint): number {
  const between = components.betweenStudies > 0 || score[0] > 0 ? Math.abs(score[0]) : 0;
  const within = components.withinStudies > 0 || score[1] > 0 ? Math.abs(score[1]) : 0;
  return between + within;
}

/** A typical squared distance between estimates: the natural unit for starting values. */
function valueSpread(clusters: readonly StudyCluster[]): number {
  const values = clusters.flatMap((cluster) => Array.from(cluster.values));
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const spread = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1);
  return spread > 0 ? spread : clusters[0]!.covariance[0]!;
}

function cautionsFor(studies: number, largestCluster: number): Caution[] {
  const cautions: Caution[] = [];
  if (studies < 5) {
    cautions.push({
      code: 'fewer-than-five-studies',
      message: `Only ${counted(studies, 'study', 'studies')}: the variance between studies is poorly known.`,
    });
  }
  if (largestCluster === 1) {
    cautions.push({
      code: 'one-estimate-per-study',
      message:
        'No study gives more than one estimate, so the variance within studies cannot be told apart from the variance between them.',
    });
  }
  return cautions;
}

function methodsSentence(
  estimator: ThreeLevelEstimator,
  interval: ThreeLevelInterval,
  covariance: CovarianceWithinStudy | number,
  level: number,
): string {
  const sampling =
    typeof covariance !== 'number'
      ? 'with the sampling covariance of each pair of estimates given'
      : covariance === 0
        ? 'with the sampling errors of one study taken as independent'
        : `with a correlation of ${covariance} between the sampling errors of one study`;
  const reference =
    interval === 'wald' ? 'the normal distribution' : "Student's t with studies minus one degrees of freedom";
  return `Estimates were pooled in a three-level random-effects model (estimates within studies), ${sampling}, both variances by ${estimator.replaceAll('-', ' ')} and the ${Math.round(level * 1000) / 10} % interval from ${reference}.`;
}

function oneOf<T extends string>(name: string, allowed: readonly T[], received: T | undefined): T {
  const value = received ?? allowed[0]!;
  if (!allowed.includes(value)) {
    throw new RangeError(`${name} must be one of ${allowed.join(', ')}; received ${value}`);
  }
  return value;
}
