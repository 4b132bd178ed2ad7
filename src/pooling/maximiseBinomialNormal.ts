import type { Count } from '../effects/estimate.ts';
import {
  BinomialNormalLikelihood,
  gaussHermiteRule,
  type LikelihoodAt,
  trapezoidalRule,
} from './binomialNormalLikelihood.ts';

/** Up to this deviation Gauss-Hermite is accurate; beyond it the answer is checked by a finer rule. */
const trustedDeviation = 1.2;
/** Beyond this between-study deviation a log odds of one study says nothing about the next. */
const largestDeviation = 25;
const largestLogOdds = 60;
const iterationLimit = 100;
/** Deviations to start from where the likelihood does not rise from zero: a giant arm can hide a peak further out. */
const deviationsTried = [0.3, 1, 3];

interface Peak {
  readonly mean: number;
  readonly deviation: number;
  readonly at: LikelihoodAt;
}

/** The highest peak of the likelihood. */
export interface BinomialNormalMaximum extends Peak {
  /** Deviation at a second, lower peak. */
  readonly second?: number;
  /** Whether the trapezoidal rule had to replace Gauss-Hermite. */
  readonly refined: boolean;
}

/**
 * Finds the highest peak of the binomial-normal likelihood over mean and deviation, for counts with at least one
 * event and one shoulder without; undefined when the likelihood rises without end.
 *
 * A deviation of zero is always a stationary point, so whether it is a peak is read from the slope in the variance
 * there. Newton climbs start from the moment estimates and from elsewhere, since a giant arm can hide a second peak.
 */
export function maximiseBinomialNormal(
  counts: readonly Count[],
  quadraturePoints: number,
): BinomialNormalMaximum | undefined {
  const coarse = new BinomialNormalLikelihood(counts, gaussHermiteRule(quadraturePoints));
  let fine: BinomialNormalLikelihood | undefined;
  let events = 0;
  let total = 0;
  for (const count of counts) {
    events += count.events;
    total += count.total;
  }
  const sharedRate = events / total;
  const sharedMean = Math.log(events / (total - events));
  // Slope of the log-likelihood in the variance at zero, times two: does it rise as studies are let differ?
  let rise = 0;
  let information = 0;
  for (const count of counts) {
    const residual = count.events - count.total * sharedRate;
    const variance = count.total * sharedRate * (1 - sharedRate);
    rise += residual * residual - variance;
    information += variance;
  }
  // Arms of one shoulder each leave this slope at zero but for rounding.
  const interior = rise > 1e-9 * information;
  const start = momentStart(counts);
  const starts: [mean: number, deviation: number][] = interior
    ? [
        [start.mean, start.deviation],
        [sharedMean, Math.min(0.1, start.deviation / 4)],
      ]
    : deviationsTried.map((deviation) => [start.mean, deviation]);
  const peaks: BinomialNormalMaximum[] = interior
    ? []
    : [{ mean: sharedMean, deviation: 0, at: coarse.at(sharedMean, 0), refined: false }];

  const gather = (
    likelihood: BinomialNormalLikelihood,
    mean: number,
    deviation: number,
    refined: boolean,
  ): void => {
    const peak = climb(likelihood, mean, deviation);
    if (peak && !peaks.some((known) => isSame(known, peak))) peaks.push({ ...peak, refined });
  };
  for (const [mean, deviation] of starts) gather(coarse, mean, deviation, false);
  const isFine = (peak: Peak): boolean => {
    if (peak.deviation <= trustedDeviation) return true;
    fine ??= new BinomialNormalLikelihood(counts, trapezoidalRule());
    return isSettled(fine.at(peak.mean, peak.deviation));
  };
  const doubtful = peaks.filter((peak) => !isFine(peak));
  if (doubtful.length > 0 || peaks.length === 0) {
    fine ??= new BinomialNormalLikelihood(counts, trapezoidalRule());
    for (const peak of doubtful) peaks.splice(peaks.indexOf(peak), 1);
    for (const { mean, deviation } of doubtful) gather(fine, mean, deviation, true);
    for (const deviation of deviationsTried) {
      if (peaks.length === 0) gather(fine, start.mean, deviation, true);
    }
  }
  peaks.sort((a, b) => b.at.logLikelihood - a.at.logLikelihood);
  const [best, second] = peaks;
  return best && second ? { ...best, second: second.deviation } : best;
}

function isSame(a: Peak, b: Peak): boolean {
  return Math.abs(a.deviation - b.deviation) < 1e-4 * Math.max(1, a.deviation);
}

/** Newton steps from one start, shortened when they do not raise the likelihood; undefined when they run away. */
function climb(
  likelihood: BinomialNormalLikelihood,
  startMean: number,
  startDeviation: number,
): Peak | undefined {
  let mean = startMean;
  let deviation = startDeviation;
  let at = likelihood.at(mean, deviation);
  for (let iteration = 0; iteration < iterationLimit; iteration++) {
    // Minus the curvature, made positive definite by raising its diagonal where needed.
    let a = -at.curvatureMean;
    const b = -at.curvatureMixed;
    let d = -at.curvatureDeviation;
    const size = Math.max(Math.abs(a), Math.abs(d), Math.abs(b));
    const smallestRoot = 0.5 * (a + d) - Math.hypot(0.5 * (a - d), b);
    if (smallestRoot < 1e-10 * size) {
      const lift = 0.1 * size - smallestRoot;
      a += lift;
      d += lift;
    }
    const determinant = a * d - b * b;
    let stepMean = (d * at.slopeMean - b * at.slopeDeviation) / determinant;
    let stepDeviation = (a * at.slopeDeviation - b * at.slopeMean) / determinant;
    const length = Math.max(Math.abs(stepMean), Math.abs(stepDeviation));
    if (!Number.isFinite(length)) return undefined;
    if (length > 2) {
      stepMean *= 2 / length;
      stepDeviation *= 2 / length;
    }
    let next = at;
    let nextMean = mean;
    let nextDeviation = deviation;
    let raised = false;
    for (let halving = 0; halving < 20; halving++) {
      nextMean = mean + stepMean;
      // The likelihood is the same for u and -u, so a step across zero is reflected.
      nextDeviation = Math.abs(deviation + stepDeviation);
      next = likelihood.at(nextMean, nextDeviation);
      // Far out the quadrature overflows: such a step is as bad as one downhill.
      if (
        Number.isFinite(next.slopeDeviation) &&
        next.logLikelihood >= at.logLikelihood - 1e-9 * Math.abs(at.logLikelihood)
      ) {
        raised = true;
        break;
      }
      stepMean /= 2;
      stepDeviation /= 2;
    }
    if (!raised) return undefined;
    mean = nextMean;
    deviation = nextDeviation;
    at = next;
    if (deviation > largestDeviation || Math.abs(mean) > largestLogOdds) return undefined;
    if (length <= 1e-9 * (1 + Math.abs(mean)))
      return deviation > 0 && isPeak(at) ? { mean, deviation, at } : undefined;
  }
  return undefined;
}

/** Is the score zero to within a ten-millionth of a standard error? */
function isSettled(at: LikelihoodAt): boolean {
  const { slopeMean: m, slopeDeviation: s, curvatureMean: a, curvatureMixed: b, curvatureDeviation: d } = at;
  const determinant = a * d - b * b;
  return determinant > 0 && (-(d * m - b * s) * m - (a * s - b * m) * s) / determinant < 1e-14;
}

/** Does the likelihood fall away on all sides, rather than run along a ridge? */
function isPeak({ curvatureMean: a, curvatureMixed: b, curvatureDeviation: d }: LikelihoodAt): boolean {
  return a < 0 && d < 0 && a * d - b * b > 1e-8 * a * d;
}

/** A start from the empirical log odds: their moment estimates, kept within reason. */
function momentStart(counts: readonly Count[]): { mean: number; deviation: number } {
  const count = counts.length;
  let sum = 0;
  let sumVariance = 0;
  for (const { events, total } of counts) {
    sum += Math.log((events + 0.5) / (total - events + 0.5));
    sumVariance += 1 / (events + 0.5) + 1 / (total - events + 0.5);
  }
  const average = sum / count;
  let squares = 0;
  for (const { events, total } of counts) {
    squares += (Math.log((events + 0.5) / (total - events + 0.5)) - average) ** 2;
  }
  const variance = count > 1 ? squares / (count - 1) - sumVariance / count : 0;
  return { mean: average, deviation: Math.min(3, Math.sqrt(Math.max(0.04, variance))) };
}
