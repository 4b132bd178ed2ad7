import type { Count } from '../effects/estimate.ts';
import { chiSquareQuantile, normalQuantile, studentTQuantile } from '../numerics/distributions.ts';
import type { Interval } from '../numerics/interval.ts';
import {
  type BinomialNormalFit,
  type BinomialNormalInterval,
  binomialNormalIntervals,
  oneStudyOnly,
} from './binomialNormalFit.ts';
import { BinomialNormalLikelihood, gaussHermiteRule } from './binomialNormalLikelihood.ts';
import { checkCounts } from './checkCounts.ts';
import { homogeneityTest } from './homogeneityTest.ts';
import { type BinomialNormalMaximum, maximiseBinomialNormal } from './maximiseBinomialNormal.ts';
import { checkChoice, checkLevel, checkOptionNames, show } from './optionChecks.ts';
import { binomialNormalStudies } from './quoted/binomialStudies.ts';
import { emptyMean, meanOfStudies } from './quoted/meanOfStudies.ts';
import { peakOf, profileLimit, type TwoParameterLikelihood } from './quoted/profile.ts';
import { overMeanOfStudies } from './quoted/rateCoordinates.ts';

export interface BinomialNormalOptions {
  /** Points of the adaptive Gauss-Hermite rule, 7 to 100, default 25. */
  readonly quadraturePoints?: number;
  /** Coverage of the intervals, default 0.95. */
  readonly level?: number;
  /** Interval of the median study's rate and of the mean of the studies' rates, default `wald`. */
  readonly interval?: BinomialNormalInterval;
}

/**
 * What is the rate, and how do studies differ, judged from the counts themselves?
 *
 * Maximum likelihood of the binomial-normal model with logit link: `events ~ binomial(total, p)`,
 * `logit p ~ normal(mean, deviation²)`. No count needs a correction. Standard errors of mean and deviation are from
 * the observed information of both together. Intervals of the median study's rate and of the mean over studies of their
 * rates, `E logit⁻¹(mean + deviation z)`: Wald's on the log odds of each (for the mean by the delta method), or by
 * profile likelihood, where twice the drop of the log-likelihood, the deviation at its best, reaches the chi-square
 * quantile with one degree of freedom. The prediction interval is `mean ± t(k-2) sqrt(deviation² + SE²)`, turned back
 * into rates, for three or more counts. Whether studies share one rate is tested by {@link homogeneityTest}.
 *
 * The likelihood can have two peaks, for example with a giant arm; the highest is reported and the other named.
 * A maximum at a deviation of zero is reported as `boundary`; a likelihood that keeps rising is reported as
 * `not-converged`, without numbers. One study (one count, or counts that name one study, which are then added up) has a
 * rate of its own and no deviation: `one-study`.
 *
 * Sources: Hamza TH et al., J Clin Epidemiol 2008;61:41-51 (model); Pinheiro JC, Bates DM, J Comput Graph Stat
 * 1995;4:12-35 (quadrature); Venzon DJ, Moolgavkar SH, Appl Stat 1988;37:87-94 (profile); Stijnen T et al., Stat Med 2010;29:3046-3067, section 2 (one-step pooling of rates).
 *
 * @param counts events and totals, whole numbers with 0 <= events <= total and total above 0
 * @throws RangeError for an unknown option or an impossible count, naming the bound and the value received
 *
 * @example
 * fitBinomialNormal([{ events: 3, total: 40 }, { events: 9, total: 52 }, { events: 0, total: 18 }]).rate
 */
export function fitBinomialNormal(
  counts: readonly (Count & { readonly study?: string })[],
  options: BinomialNormalOptions = {},
): BinomialNormalFit {
  checkOptionNames(options, ['quadraturePoints', 'level', 'interval']);
  const intervalMethod = checkChoice('interval', options.interval ?? 'wald', binomialNormalIntervals);
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
    deviationStandardError: undefined,
    logLikelihood: undefined,
    likelihoodRatio: undefined,
    rate: undefined,
    interval: undefined,
    meanOfStudies: undefined,
    intervalMethod,
    prediction: undefined,
    quadrature: 'gauss-hermite',
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
  const [{ study }] = counts as [(typeof counts)[number]];
  const one = counts.length === 1 || (study !== undefined && counts.every((count) => count.study === study));
  const best = maximiseBinomialNormal(one ? [{ events, total }] : counts, quadraturePoints);
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
  const mixed = meanOfStudies(mean, deviation, emptyMean());
  const meanLogOdds = deviation === 0 ? mean : Math.log(mixed.rate / mixed.rest);
  let interval: Interval | undefined;
  let meanInterval: Interval | undefined;
  if (intervalMethod === 'wald') {
    interval = waldInterval(mean, standardError, level);
    // The curvature at the peak, read over the mean of the studies' rates: the delta method.
    const over = overMeanOfStudies(() => at);
    meanInterval = waldInterval(meanLogOdds, peakOf(over, meanLogOdds, deviation).standardError, level);
  } else {
    const studies = binomialNormalStudies(one ? [{ events, total }] : counts);
    const overMedian: TwoParameterLikelihood = one
      ? (t) => ({ ...studies.at(t, 0), slopeDeviation: 0, curvatureMixed: 0, curvatureDeviation: -1 })
      : (t, s) => studies.at(t, s);
    interval = profileInterval(overMedian, mean, deviation, level);
    if (!one) meanInterval = profileInterval(overMeanOfStudies(overMedian), meanLogOdds, deviation, level);
  }
  const tail = (1 - level) / 2;
  return {
    kind: 'binomial-normal-fit',
    status: one ? 'one-study' : deviation === 0 ? 'boundary' : 'converged',
    reason: one ? oneStudyOnly : reasonOf(best, interval !== undefined && meanInterval !== undefined),
    mean,
    standardError,
    betweenStudyDeviation: one ? undefined : deviation,
    deviationStandardError: one || deviation === 0 ? undefined : Math.sqrt(-at.curvatureMean / determinant),
    logLikelihood: at.logLikelihood,
    likelihoodRatio: one
      ? undefined
      : homogeneityTest(
          at.logLikelihood,
          deviation === 0 ? at.logLikelihood : sharedLogLikelihood(counts, events / total),
        ),

    rate: rateOf(mean),
    interval,
    meanOfStudies: one ? undefined : { rate: rateOf(meanLogOdds), interval: meanInterval },
    intervalMethod,
    prediction:
      one || counts.length < 3
        ? undefined
        : around(
            mean,
            -studentTQuantile(tail, counts.length - 2) * Math.hypot(deviation, standardError),
            level,
          ),
    quadrature: best.refined ? 'trapezoidal' : 'gauss-hermite',
    quadraturePoints,
    level,
  };
}

const around = (logOdds: number, margin: number, level: number): Interval => ({
  lower: rateOf(logOdds - margin),
  upper: rateOf(logOdds + margin),
  level,
});

function waldInterval(
  logOdds: number,
  standardError: number | undefined,
  level: number,
): Interval | undefined {
  return standardError === undefined
    ? undefined
    : around(logOdds, -normalQuantile((1 - level) / 2) * standardError, level);
}

function profileInterval(
  likelihood: TwoParameterLikelihood,
  logOdds: number,
  deviation: number,
  level: number,
): Interval | undefined {
  const peak = peakOf(likelihood, logOdds, deviation);
  const cutOff = chiSquareQuantile(level, 1);
  const lower = profileLimit({ likelihood }, peak, cutOff, -1);
  const upper = profileLimit({ likelihood }, peak, cutOff, 1);
  return lower && upper && { lower: rateOf(lower.t), upper: rateOf(upper.t), level };
}

/** Highest log-likelihood where all studies share one rate; any rule integrates a constant exactly. */
function sharedLogLikelihood(counts: readonly Count[], rate: number): number {
  const likelihood = new BinomialNormalLikelihood(counts, gaussHermiteRule(7));
  return likelihood.at(Math.log(rate / (1 - rate)), 0).logLikelihood;
}

function reasonOf(
  { deviation, second, refined }: BinomialNormalMaximum,
  limitsFound: boolean,
): string | undefined {
  const parts: string[] = [];
  if (deviation === 0) {
    parts.push(
      'The likelihood is highest when the studies share one rate: the between-study deviation is estimated as 0.',
    );
  }
  if (second !== undefined) {
    parts.push(
      `The likelihood has a second, lower peak at a between-study deviation of ${second.toPrecision(3)}: the highest is reported.`,
    );
  }
  if (refined) {
    parts.push(
      'Studies differ so much that Gauss-Hermite quadrature was too coarse: the likelihood was integrated by the trapezoidal rule.',
    );
  }
  if (!limitsFound) {
    parts.push('The likelihood falls too slowly to one side for an interval: a limit was not reached.');
  }
  return parts.length > 0 ? parts.join(' ') : undefined;
}

const rateOf = (logOdds: number): number => 1 / (1 + Math.exp(-logOdds));
