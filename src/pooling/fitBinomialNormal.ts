import type { Count } from '../effects/estimate.ts';
import { normalQuantile, studentTQuantile } from '../numerics/distributions.ts';
import type { Interval } from '../numerics/interval.ts';
import type { BinomialNormalFit } from './binomialNormalFit.ts';
import { BinomialNormalLikelihood, type LikelihoodAt } from './binomialNormalLikelihood.ts';
import { checkCounts } from './checkCounts.ts';
import { checkLevel, checkOptionNames, show } from './optionChecks.ts';

export interface BinomialNormalOptions {
  /** Points of the adaptive Gauss-Hermite rule, 7 to 100, default 25. */
  readonly quadraturePoints?: number;
  /** Coverage of the intervals, default 0.95. */
  readonly level?: number;
}

/** Beyond this between-study deviation a log odds of one study says nothing about the next. */
const largestDeviation = 25;
const largestLogOdds = 60;
const iterationLimit = 100;
/** Deviations tried when the likelihood does not rise from zero, in case it has a second peak further out. */
const deviationsTried = [0.3, 1, 3];

/**
 * What is the rate, and how do studies differ, judged from the counts themselves?
 *
 * Maximum likelihood of the binomial-normal model with logit link: `events ~ binomial(total, p)`,
 * `logit p ~ normal(mean, deviation²)`. No count needs a correction. The mean's interval is Wald's, from the
 * observed information of mean and deviation together; the prediction interval is
 * `mean ± t(k-2) sqrt(deviation² + SE²)`, turned back into rates, for three or more counts.
 *
 * A maximum at a deviation of zero is reported as `boundary`; a likelihood that keeps rising is reported as
 * `not-converged`, without numbers.
 *
 * Sources: Hamza TH et al., J Clin Epidemiol 2008;61:41-51 (model); Pinheiro JC, Bates DM, J Comput Graph Stat
 * 1995;4:12-35 (quadrature); Stijnen T et al., Stat Med 2010;29:3046-3067, section 2 (one-step pooling of rates).
 *
 * @param counts events and totals, whole numbers with 0 <= events <= total and total above 0
 * @throws RangeError for an unknown option or an impossible count, naming the bound and the value received
 *
 * @example
 * fitBinomialNormal([{ events: 3, total: 40 }, { events: 9, total: 52 }, { events: 0, total: 18 }]).rate
 */
export function fitBinomialNormal(
  counts: readonly Count[],
  options: BinomialNormalOptions = {},
): BinomialNormalFit {
  checkOptionNames(options, ['quadraturePoints', 'level']);
  const level = checkLevel(options.level ?? 0.95);
  const quadraturePoints = options.quadraturePoints ?? 25;
  if (!(Number.isInteger(quadraturePoints) && quadraturePoints >= 7 && quadraturePoints <= 100)) {
    throw new RangeError(
      `quadraturePoints must be a whole number from 7 to 100, received ${show(quadraturePoints)}`,
    );
  }
  checkCounts(counts);
  const unfitted = (status: BinomialNormalFit['status'], reason: string): BinomialNormalFit => ({
    kind: 'binomial-normal-fit',
    status,
    reason,
    mean: undefined,
    standardError: undefined,
    betweenStudyDeviation: undefined,
    logLikelihood: undefined,
    rate: undefined,
    interval: undefined,
    prediction: undefined,
    quadraturePoints,
    level,
  });
  let events = 0;
  let total = 0;
  for (const count of counts) {
    events += count.events;
    total += count.total;
  }
  if (counts.length === 0) return unfitted('nothing-to-pool', 'There are no counts to fit.');
  if (events === 0) {
    return unfitted(
      'no-events',
      'No shoulder had an event: the likelihood keeps rising as the rate falls towards 0.',
    );
  }
  if (events === total) {
    return unfitted(
      'all-events',
      'Every shoulder had an event: the likelihood keeps rising as the rate nears 1.',
    );
  }
  const likelihood = new BinomialNormalLikelihood(counts, quadraturePoints);
  const best = maximise(likelihood, counts, events, total);
  if (best === undefined) {
    return unfitted(
      'not-converged',
      'The likelihood has no maximum that could be found: it keeps rising as the variation between studies grows, as it does when arms have either no events or nothing but events.',
    );
  }
  const { mean, deviation, at } = best;
  const determinant = at.curvatureMean * at.curvatureDeviation - at.curvatureMixed ** 2;
  const variance = deviation === 0 ? -1 / at.curvatureMean : -at.curvatureDeviation / determinant;
  if (!(variance > 0 && Number.isFinite(variance)) || (deviation > 0 && !(determinant > 0))) {
    return unfitted(
      'not-converged',
      'The likelihood is too flat around its maximum to give a standard error.',
    );
  }
  const standardError = Math.sqrt(variance);
  const tail = (1 - level) / 2;
  const around = (margin: number): Interval => ({
    lower: rateOf(mean - margin),
    upper: rateOf(mean + margin),
    level,
  });
  return {
    kind: 'binomial-normal-fit',
    status: deviation === 0 ? 'boundary' : 'converged',
    reason:
      deviation === 0
        ? 'The likelihood is highest when the studies share one rate: the between-study deviation is estimated as 0.'
        : undefined,
    mean,
    standardError,
    betweenStudyDeviation: deviation,
    logLikelihood: at.logLikelihood,
    rate: rateOf(mean),
    interval: around(-normalQuantile(tail) * standardError),
    prediction:
      counts.length < 3
        ? undefined
        : around(-studentTQuantile(tail, counts.length - 2) * Math.hypot(deviation, standardError)),
    quadraturePoints,
    level,
  };
}

const rateOf = (logOdds: number): number => 1 / (1 + Math.exp(-logOdds));

interface Maximum {
  readonly mean: number;
  readonly deviation: number;
  readonly at: LikelihoodAt;
}

function maximise(
  likelihood: BinomialNormalLikelihood,
  counts: readonly Count[],
  events: number,
  total: number,
): Maximum | undefined {
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
  if (rise > 1e-9 * information) {
    const start = momentStart(counts);
    const peak = climb(likelihood, start.mean, start.deviation);
    if (peak !== undefined) return peak;
    for (const deviation of deviationsTried) {
      const other = climb(likelihood, sharedMean, deviation);
      if (other !== undefined) return other;
    }
    return undefined;
  }
  const shared = { mean: sharedMean, deviation: 0, at: likelihood.at(sharedMean, 0) };
  for (const deviation of deviationsTried) {
    if (likelihood.at(sharedMean, deviation).logLikelihood > shared.at.logLikelihood - 1) {
      const other = climb(likelihood, sharedMean, deviation);
      if (other && other.at.logLikelihood > shared.at.logLikelihood + 1e-8) return other;
    }
  }
  return shared;
}

/** Newton steps from one start, shortened when they do not raise the likelihood; undefined when they run away. */
function climb(
  likelihood: BinomialNormalLikelihood,
  startMean: number,
  startDeviation: number,
): Maximum | undefined {
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
    for (let halving = 0; halving < 40; halving++) {
      nextMean = mean + stepMean;
      // The likelihood is the same for u and -u, so a step across zero is reflected.
      nextDeviation = Math.abs(deviation + stepDeviation);
      next = likelihood.at(nextMean, nextDeviation);
      if (next.logLikelihood >= at.logLikelihood - 1e-9 * Math.abs(at.logLikelihood)) {
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
    if (length <= 1e-9 * (1 + Math.abs(mean))) return deviation > 0 ? { mean, deviation, at } : undefined;
  }
  return undefined;
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
