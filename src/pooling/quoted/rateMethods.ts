import { backTransformRate } from '../../effects/backTransformRate.ts';
import { rateInterval } from '../../effects/rateInterval.ts';
import { rateToScale } from '../../effects/rateToScale.ts';
import { normalQuantile, studentTQuantile } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import { meanIntervalMethods } from '../meanIntervalMethods.ts';
import { pooledSample, weightedMean } from '../pooledSample.ts';
import { derSimonianLaird } from '../varianceEstimators/derSimonianLaird.ts';
import { type ProfileCutOff, profileCutOffs } from './profileCutOffs.ts';
import type { FittedProfile, RateContext } from './rateContext.ts';

/** What a quoted number is a number of. */
export const quotedEstimands = [
  'mean of studies',
  'median study',
  'centre on the scale',
  'common effect',
  'one series',
] as const;
export type QuotedEstimand = (typeof quotedEstimands)[number];

/** A rate with its interval; a limit that could not be found is undefined with its reason. */
export interface RateAnswer {
  readonly rate: number;
  readonly interval: Interval | undefined;
}

/** One way to a rate from counts. */
export interface RateMethod {
  /** Full name, as printed. */
  readonly name: string;
  readonly source: string;
  readonly estimand: QuotedEstimand;
  /** Fewest arms it has an answer for. */
  readonly fewestArms: number;
  readonly estimate: (context: RateContext, level: number) => RateAnswer | undefined;
}

const rateOf = (logOdds: number): number => backTransformRate(logOdds, 'logit');

function byProfile(
  pick: (context: RateContext) => FittedProfile | undefined,
  cutOff: ProfileCutOff,
): RateMethod['estimate'] {
  return (context, level) => {
    const fit = pick(context);
    if (!fit) return undefined;
    const { peak } = fit;
    const [lower, upper] = fit.limits(profileCutOffs[cutOff].at(level, context.counts.length));
    return {
      rate: rateOf(peak.t),
      interval: lower && upper && { lower: rateOf(lower.t), upper: rateOf(upper.t), level },
    };
  };
}

function byWald(
  pick: (context: RateContext) => FittedProfile | undefined,
  student: boolean,
): RateMethod['estimate'] {
  return (context, level) => {
    const fit = pick(context);
    if (!fit) return undefined;
    const { t, standardError } = fit.peak;
    if (standardError === undefined) return { rate: rateOf(t), interval: undefined };
    const tail = (1 - level) / 2;
    const margin =
      -(student ? studentTQuantile(tail, context.counts.length - 1) : normalQuantile(tail)) * standardError;
    return { rate: rateOf(t), interval: { lower: rateOf(t - margin), upper: rateOf(t + margin), level } };
  };
}

const binomialNormal = 'Hamza et al. 2008; Stijnen et al. 2010';
const profileSource = 'Venzon & Moolgavkar 1988';

const inMean = (context: RateContext): FittedProfile | undefined => context.mean();
const inMedian = (context: RateContext): FittedProfile | undefined => context.median();
const inBetaBinomial = (context: RateContext): FittedProfile | undefined => context.betaBinomial();
const meanByModel = { estimand: 'mean of studies', fewestArms: 2 } as const;
const medianByModel = { estimand: 'median study', fewestArms: 2 } as const;
const ofProfile = `${binomialNormal}; ${profileSource}`;
const betaBinomialSource = `Griffiths 1973; Young-Xu & Chan 2008; ${profileSource}`;

function bayesian(
  quantity: 'mean of studies' | 'median study',
  scale: number,
  meanDeviation: number,
): RateMethod {
  return {
    name: `Posterior of the binomial-normal model, ${quantity}, between-study deviation half-normal ${scale}, mean normal(0, ${meanDeviation}²)`,
    source: 'Spiegelhalter, Abrams & Myles 2004',
    estimand: quantity,
    fewestArms: 1,
    estimate(context, level) {
      const posterior = context.posterior(scale, meanDeviation);
      const at = (probability: number): number => rateOf(posterior.quantile(quantity, probability));
      const tail = (1 - level) / 2;
      return { rate: at(0.5), interval: { lower: at(tail), upper: at(1 - tail), level } };
    },
  };
}

/** Intervals of a DerSimonian-Laird rate whose coverage is measured. */
export const derSimonianLairdIntervals = ['wald', 'hartung-knapp', 'truncated-hartung-knapp'] as const;
export type DerSimonianLairdInterval = (typeof derSimonianLairdIntervals)[number];
export const derSimonianLairdScales = ['arcsine', 'logit'] as const;
export type DerSimonianLairdScale = (typeof derSimonianLairdScales)[number];

/**
 * The inverse-variance mean of the arms' rates on a scale with the between-study variance of DerSimonian and Laird.
 *
 * @param added to each cell of an arm without a finite value on the scale; 0 leaves it out
 */
export function derSimonianLairdRate(
  scale: DerSimonianLairdScale,
  added: number,
  interval: DerSimonianLairdInterval,
): RateMethod {
  const { name, source } = meanIntervalMethods[interval];
  const zero =
    scale === 'arcsine'
      ? ''
      : added > 0
        ? `, ${added} added to arms without events`
        : ', arms without events left out';
  return {
    name: `DerSimonian-Laird on ${scale}s${zero}, ${name} interval`,
    source: `DerSimonian R, Laird N. Control Clin Trials 1986;7:177-188; ${source}`,
    estimand: 'centre on the scale',
    fewestArms: 2,
    estimate({ counts }, level) {
      const values: number[] = [];
      const variances: number[] = [];
      for (const { events, total } of counts) {
        const scaled =
          rateToScale(events, total, scale) ??
          (added > 0 ? rateToScale(events + added, total + 2 * added, scale) : undefined);
        if (!scaled) continue;
        values.push(scaled.value);
        variances.push(scaled.variance);
      }
      if (values.length < 2) return undefined;
      const sample = pooledSample(Float64Array.from(values), Float64Array.from(variances));
      const mean = weightedMean(sample, derSimonianLaird.estimate(sample, weightedMean(sample, 0)).value);
      const centre = sample.centre + mean.distance;
      const reach = meanIntervalMethods[interval].reach(sample, mean, level);
      const back = (value: number): number => backTransformRate(value, scale);
      return {
        rate: back(centre),
        interval: reach && { lower: back(centre - reach.below), upper: back(centre + reach.above), level },
      };
    },
  };
}

/** Every way to a rate whose coverage is measured. */
export const rateMethodNames = [
  'dersimonian-laird-arcsine-wald',
  'dersimonian-laird-arcsine-hartung-knapp',
  'dersimonian-laird-arcsine-truncated-hartung-knapp',
  'dersimonian-laird-logit-half-added-wald',
  'dersimonian-laird-logit-half-added-hartung-knapp',
  'dersimonian-laird-logit-half-added-truncated-hartung-knapp',
  'dersimonian-laird-logit-nothing-added-wald',
  'dersimonian-laird-logit-nothing-added-hartung-knapp',
  'dersimonian-laird-logit-nothing-added-truncated-hartung-knapp',
  'mean-of-studies-wald',
  'mean-of-studies-wald-student-t',
  'mean-of-studies-profile-chi-square',
  'mean-of-studies-profile-f',
  'mean-of-studies-profile-t-test',
  'mean-of-studies-profile-calibrated',
  'mean-of-studies-posterior-half-normal-0.5',
  'mean-of-studies-posterior-half-normal-1',
  'mean-of-studies-posterior-half-normal-0.5-wide-mean',
  'mean-of-studies-posterior-half-normal-1-wide-mean',
  'median-study-wald',
  'median-study-wald-student-t',
  'median-study-profile-chi-square',
  'median-study-profile-f',
  'median-study-profile-t-test',
  'median-study-profile-calibrated',
  'median-study-posterior-half-normal-0.5',
  'median-study-posterior-half-normal-1',
  'median-study-posterior-half-normal-0.5-wide-mean',
  'median-study-posterior-half-normal-1-wide-mean',
  'beta-binomial-profile-chi-square',
  'beta-binomial-profile-f',
  'beta-binomial-profile-calibrated',
  'ratio-of-sums-robust',
  'one-series-exact',
] as const;
export type RateMethodName = (typeof rateMethodNames)[number];

/** The methods by name, each with its formula in its name and its source. */
export const rateMethods: Readonly<Record<RateMethodName, RateMethod>> = {
  'dersimonian-laird-arcsine-wald': derSimonianLairdRate('arcsine', 0, 'wald'),
  'dersimonian-laird-arcsine-hartung-knapp': derSimonianLairdRate('arcsine', 0, 'hartung-knapp'),
  'dersimonian-laird-arcsine-truncated-hartung-knapp': derSimonianLairdRate(
    'arcsine',
    0,
    'truncated-hartung-knapp',
  ),
  'dersimonian-laird-logit-half-added-wald': derSimonianLairdRate('logit', 0.5, 'wald'),
  'dersimonian-laird-logit-half-added-hartung-knapp': derSimonianLairdRate('logit', 0.5, 'hartung-knapp'),
  'dersimonian-laird-logit-half-added-truncated-hartung-knapp': derSimonianLairdRate(
    'logit',
    0.5,
    'truncated-hartung-knapp',
  ),
  'dersimonian-laird-logit-nothing-added-wald': derSimonianLairdRate('logit', 0, 'wald'),
  'dersimonian-laird-logit-nothing-added-hartung-knapp': derSimonianLairdRate('logit', 0, 'hartung-knapp'),
  'dersimonian-laird-logit-nothing-added-truncated-hartung-knapp': derSimonianLairdRate(
    'logit',
    0,
    'truncated-hartung-knapp',
  ),
  'mean-of-studies-wald': {
    ...meanByModel,
    name: 'Binomial-normal model, mean of studies, Wald interval',
    source: binomialNormal,
    estimate: byWald(inMean, false),
  },
  'mean-of-studies-wald-student-t': {
    ...meanByModel,
    name: 'Binomial-normal model, mean of studies, Wald interval with t(k − 1)',
    source: binomialNormal,
    estimate: byWald(inMean, true),
  },
  'mean-of-studies-profile-chi-square': {
    ...meanByModel,
    name: 'Binomial-normal model, mean of studies, profile likelihood with the chi-square cut-off',
    source: ofProfile,
    estimate: byProfile(inMean, 'chi-square'),
  },
  'mean-of-studies-profile-f': {
    ...meanByModel,
    name: 'Binomial-normal model, mean of studies, profile likelihood with the cut-off F(1, k − 1)',
    source: ofProfile,
    estimate: byProfile(inMean, 'f'),
  },
  'mean-of-studies-profile-t-test': {
    ...meanByModel,
    name: 'Binomial-normal model, mean of studies, profile likelihood with the cut-off k·ln(1 + t²/(k − 1))',
    source: ofProfile,
    estimate: byProfile(inMean, 't-test'),
  },
  'mean-of-studies-profile-calibrated': {
    ...meanByModel,
    name: 'Binomial-normal model, mean of studies, profile likelihood with the cut-off for few studies',
    source: ofProfile,
    estimate: byProfile(inMean, 'calibrated'),
  },
  'mean-of-studies-posterior-half-normal-0.5': bayesian('mean of studies', 0.5, 2.5),
  'mean-of-studies-posterior-half-normal-1': bayesian('mean of studies', 1, 2.5),
  'mean-of-studies-posterior-half-normal-0.5-wide-mean': bayesian('mean of studies', 0.5, 10),
  'mean-of-studies-posterior-half-normal-1-wide-mean': bayesian('mean of studies', 1, 10),
  'median-study-wald': {
    ...medianByModel,
    name: 'Binomial-normal model, median study, Wald interval',
    source: binomialNormal,
    estimate: byWald(inMedian, false),
  },
  'median-study-wald-student-t': {
    ...medianByModel,
    name: 'Binomial-normal model, median study, Wald interval with t(k − 1)',
    source: binomialNormal,
    estimate: byWald(inMedian, true),
  },
  'median-study-profile-chi-square': {
    ...medianByModel,
    name: 'Binomial-normal model, median study, profile likelihood with the chi-square cut-off',
    source: ofProfile,
    estimate: byProfile(inMedian, 'chi-square'),
  },
  'median-study-profile-f': {
    ...medianByModel,
    name: 'Binomial-normal model, median study, profile likelihood with the cut-off F(1, k − 1)',
    source: ofProfile,
    estimate: byProfile(inMedian, 'f'),
  },
  'median-study-profile-t-test': {
    ...medianByModel,
    name: 'Binomial-normal model, median study, profile likelihood with the cut-off k·ln(1 + t²/(k − 1))',
    source: ofProfile,
    estimate: byProfile(inMedian, 't-test'),
  },
  'median-study-profile-calibrated': {
    ...medianByModel,
    name: 'Binomial-normal model, median study, profile likelihood with the cut-off for few studies',
    source: ofProfile,
    estimate: byProfile(inMedian, 'calibrated'),
  },
  'median-study-posterior-half-normal-0.5': bayesian('median study', 0.5, 2.5),
  'median-study-posterior-half-normal-1': bayesian('median study', 1, 2.5),
  'median-study-posterior-half-normal-0.5-wide-mean': bayesian('median study', 0.5, 10),
  'median-study-posterior-half-normal-1-wide-mean': bayesian('median study', 1, 10),
  'beta-binomial-profile-chi-square': {
    ...meanByModel,
    name: 'Beta-binomial model, mean of studies, profile likelihood with the chi-square cut-off',
    source: betaBinomialSource,
    estimate: byProfile(inBetaBinomial, 'chi-square'),
  },
  'beta-binomial-profile-f': {
    ...meanByModel,
    name: 'Beta-binomial model, mean of studies, profile likelihood with the cut-off F(1, k − 1)',
    source: betaBinomialSource,
    estimate: byProfile(inBetaBinomial, 'f'),
  },
  'beta-binomial-profile-calibrated': {
    ...meanByModel,
    name: 'Beta-binomial model, mean of studies, profile likelihood with the cut-off for few studies',
    source: betaBinomialSource,
    estimate: byProfile(inBetaBinomial, 'calibrated'),
  },
  'ratio-of-sums-robust': {
    name: 'All events over all shoulders, robust standard error over arms, t(k − 1)',
    source: 'Cochran 1977',
    estimand: 'mean of studies',
    fewestArms: 2,
    estimate: ratioOfSums,
  },
  'one-series-exact': {
    name: 'All shoulders as one series, exact interval',
    source: 'Clopper & Pearson 1934',
    estimand: 'one series',
    fewestArms: 1,
    estimate: ({ events, total }, level) => ({
      rate: events / total,
      interval: rateInterval({ events, total }, { method: 'clopper-pearson', level }),
    }),
  },
};

/** `Σx/Σn` with the linearised variance over arms, as log odds so that no limit leaves 0 to 1. */
function ratioOfSums({ counts, events, total }: RateContext, level: number): RateAnswer {
  const arms = counts.length;
  const rate = events / total;
  let squares = 0;
  for (const count of counts) squares += (count.events - rate * count.total) ** 2;
  const standardError = Math.sqrt((arms / (arms - 1)) * squares) / total / (rate * (1 - rate));
  const margin = -studentTQuantile((1 - level) / 2, arms - 1) * standardError;
  const centre = Math.log(rate / (1 - rate));
  return { rate, interval: { lower: rateOf(centre - margin), upper: rateOf(centre + margin), level } };
}
