import { type AnalysisScale, hasNullAtZero } from '../../effects/analysisScale.ts';
import type { Estimate } from '../../effects/estimate.ts';
import { naturalValue } from '../../effects/naturalValue.ts';
import {
  normalQuantile,
  normalUpperTail,
  studentTQuantile,
  studentTUpperTail,
} from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import type { NaturalSummary, PooledResult } from '../../pooling/pooledResult.ts';
import { pooledSample } from '../../pooling/pooledSample.ts';
import type { WithoutStudy } from './leaveOneOut.ts';
import { momentsWithoutEach } from './momentsWithoutEach.ts';

const intervalsFromSums = ['wald', 'student-t', 'hartung-knapp', 'truncated-hartung-knapp'];

/** Can the pools without each study be had from sums alone, in linear time? */
export function hasLinearRoute({ options, scale }: PooledResult): boolean {
  return (
    options.betweenStudyVariance === 'dersimonian-laird' &&
    intervalsFromSums.includes(options.interval) &&
    options.prediction !== 'bootstrap' &&
    // Its way back to a rate needs the harmonic mean of the arms that are left.
    scale !== 'double-arcsine'
  );
}

/**
 * The pool without each estimate, from {@link momentsWithoutEach}; the same as pooling the others afresh.
 *
 * @param estimates two or more
 * @param whole all of them pooled, with options that {@link hasLinearRoute} accepts
 */
export function poolsWithoutEach(estimates: readonly Estimate[], whole: PooledResult): WithoutStudy[] {
  const { options, scale } = whole;
  const { level } = options;
  const randomEffects = options.model === 'random-effects';
  const sample = pooledSample(
    Float64Array.from(estimates, ({ value }) => value),
    Float64Array.from(estimates, ({ variance }) => variance),
  );
  const moments = momentsWithoutEach(sample, randomEffects);
  const left = estimates.length - 1;
  const wholeMean = whole.mean!.value;
  const beyond = (1 - level) / 2;
  const z = -normalQuantile(beyond);
  const t = left > 1 ? -studentTQuantile(beyond, left - 1) : undefined;
  const predictionFreedom = options.prediction.startsWith('t-k-minus-1') ? left - 1 : left - 2;
  const predictedFromScatter = options.prediction.endsWith('hartung-knapp');
  const tested = hasNullAtZero(scale);
  const predictionT = randomEffects && left > 2 ? -studentTQuantile(beyond, predictionFreedom) : undefined;
  const tailOf = (ratio: number, answered: boolean): number =>
    answered && options.interval !== 'wald' ? studentTUpperTail(ratio, left - 1) : normalUpperTail(ratio);
  const without: WithoutStudy[] = new Array(estimates.length);
  for (let i = 0; i < estimates.length; i++) {
    const { study, label } = estimates[i]!;
    const betweenStudyVariance = moments.betweenStudyVariances[i]!;
    const wald = Math.sqrt(1 / moments.weightSums[i]!);
    const scatter = moments.scatter[i]!;
    const fromScatter =
      left > 1 && scatter > 0 ? Math.sqrt(scatter / (left - 1) / moments.weightSums[i]!) : undefined;
    let standardError: number | undefined = wald;
    if (options.interval === 'hartung-knapp') standardError = fromScatter;
    if (options.interval === 'truncated-hartung-knapp') standardError = Math.max(fromScatter ?? 0, wald);
    const wanted = options.interval === 'wald' ? z : t;
    const answered = standardError !== undefined && wanted !== undefined;
    const error = answered ? standardError! : wald;
    const reach = (answered ? wanted : z) * error;
    const value = sample.centre + moments.distances[i]!;
    const predictionError = predictedFromScatter ? fromScatter : wald;
    const tau2 = randomEffects ? betweenStudyVariance : 0;
    const predicted =
      predictionT === undefined || predictionError === undefined
        ? undefined
        : predictionT * Math.sqrt(tau2 + predictionError * predictionError);
    const q = moments.q[i]!;
    const interval: Interval = { lower: value - reach, upper: value + reach, level };
    const prediction: Interval | undefined =
      predicted === undefined ? undefined : { lower: value - predicted, upper: value + predicted, level };
    without[i] = {
      study,
      label,
      estimatesOmitted: 1,
      estimates: left,
      mean: {
        value,
        standardError: error,
        interval,
        intervalMethod: answered ? options.interval : 'wald',
        pValue: tested ? 2 * tailOf(Math.abs(value) / error, answered) : undefined,
      },
      prediction,
      natural: naturalOf(scale, value, interval, prediction),
      heterogeneity:
        left > 1 ? { q, iSquared: q > left - 1 ? (q - (left - 1)) / q : 0, betweenStudyVariance } : undefined,
      change: value - wholeMean,
    };
  }
  return without;
}

const noSize = {};

/** As `naturalSummary` for scales that need no size to come back, without what it sets up for each call. */
function naturalOf(
  scale: AnalysisScale,
  mean: number,
  interval: Interval,
  prediction: Interval | undefined,
): NaturalSummary | undefined {
  const value = naturalValue(mean, scale, noSize);
  return value === undefined
    ? undefined
    : {
        value,
        interval: limitsOf(scale, interval),
        prediction: prediction && limitsOf(scale, prediction),
      };
}

function limitsOf(scale: AnalysisScale, limits: Interval): Interval | undefined {
  const lower = naturalValue(limits.lower, scale, noSize);
  const upper = naturalValue(limits.upper, scale, noSize);
  return lower === undefined || upper === undefined ? undefined : { lower, upper, level: limits.level };
}
