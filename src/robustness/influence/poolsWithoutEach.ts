import type { Estimate } from '../../effects/estimate.ts';
import { normalQuantile, studentTQuantile } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import { naturalSummary } from '../../pooling/naturalSummary.ts';
import type { PooledResult } from '../../pooling/pooledResult.ts';
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
  const tail = (1 - level) / 2;
  const z = -normalQuantile(tail);
  const t = left > 1 ? -studentTQuantile(tail, left - 1) : undefined;
  const predictionFreedom = options.prediction === 't-k-minus-1' ? left - 1 : left - 2;
  const predictionT = randomEffects && left > 2 ? -studentTQuantile(tail, predictionFreedom) : undefined;
  return estimates.map((estimate, i): WithoutStudy => {
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
    const around = (margin: number): Interval => ({ lower: value - margin, upper: value + margin, level });
    const interval = around(reach);
    const predictionError = options.prediction === 'hartung-knapp' ? fromScatter : wald;
    const tau2 = randomEffects ? betweenStudyVariance : 0;
    const prediction =
      predictionT === undefined || predictionError === undefined
        ? undefined
        : around(predictionT * Math.sqrt(tau2 + predictionError * predictionError));
    const q = moments.q[i]!;
    return {
      study: estimate.study,
      label: estimate.label,
      estimatesOmitted: 1,
      estimates: left,
      mean: {
        value,
        standardError: error,
        interval,
        intervalMethod: answered ? options.interval : 'wald',
      },
      prediction,
      // Worked out when read: turning back five numbers a study would take longer than all the pooling.
      get natural() {
        return naturalSummary(scale, value, interval, prediction, undefined);
      },
      heterogeneity:
        left > 1 ? { q, iSquared: q > left - 1 ? (q - (left - 1)) / q : 0, betweenStudyVariance } : undefined,
      change: value - whole.mean!.value,
    };
  });
}
