import type { RateScale } from '../../effects/analysisScale.ts';
import type { Count } from '../../effects/estimate.ts';
import { rateInterval } from '../../effects/rateInterval.ts';
import { rateToScale } from '../../effects/rateToScale.ts';
import { amountToAdd, type ZeroEvents } from '../../effects/zeroEvents.ts';
import type { Interval } from '../../numerics/interval.ts';
import { meanIntervalMethods } from '../../pooling/meanIntervalMethods.ts';
import { naturalSummary } from '../../pooling/naturalSummary.ts';
import {
  type PooledSample,
  pooledSample,
  type WeightedMean,
  weightedMean,
} from '../../pooling/pooledSample.ts';
import type { MeanInterval } from '../../pooling/poolOptions.ts';
import { intervalGoesWith } from '../../pooling/resolvePoolOptions.ts';
import { varianceEstimatorMethods } from '../../pooling/varianceEstimatorMethods.ts';
import type { EstimatorChoice } from './choiceGrid.ts';

/** A pooled rate with its interval, 0 to 1, and no more. */
export interface BareRate {
  readonly rate: number;
  readonly interval: Interval;
}

/**
 * The headline rate of one set of arms under many ways to pool it, each part worked out once.
 *
 * Gives the rate and limits of `poolRates` by the same formulas in the same order; what that function tells besides
 * (heterogeneity, prediction, the one-step check, cautions) is left out. Counts must be possible ones.
 *
 * @example
 * const pools = fastRatePool(counts, 0.95);
 * pools.rate('logit', { addToEachCell: 0.5 }, 'paule-mandel', 'hartung-knapp')?.rate
 */
export function fastRatePool(counts: readonly Count[], level: number): FastRatePool {
  let events = 0;
  let shoulders = 0;
  for (const count of counts) {
    events += count.events;
    shoulders += count.total;
  }
  const exact: BareRate | undefined =
    shoulders > 0 && (events === 0 || events === shoulders)
      ? {
          rate: events / shoulders,
          interval: rateInterval({ events, total: shoulders }, { method: 'clopper-pearson', level }),
        }
      : undefined;
  const samples = new Map<string, OnScale | undefined>();
  const means = new Map<string, WeightedMean>();
  const onScaleOf = (scale: RateScale, zeroEvents: ZeroEvents): OnScale | undefined => {
    const amount = amountToAdd(zeroEvents);
    const scaled = `${scale} ${amount}`;
    if (!samples.has(scaled)) samples.set(scaled, onScale(counts, scale, amount));
    return samples.get(scaled);
  };
  return {
    inNumber(scale, zeroEvents) {
      if (exact) return { arms: counts.length, shoulders, events };
      return onScaleOf(scale, zeroEvents)?.counts ?? { arms: 0, shoulders: 0, events: 0 };
    },
    rate(scale, zeroEvents, estimator, interval) {
      if (exact) return exact;
      const on = onScaleOf(scale, zeroEvents);
      if (!on) return undefined;
      const key = `${scale} ${amountToAdd(zeroEvents)} ${estimator}`;
      let mean = means.get(key);
      if (!mean) {
        mean = meanOf(on.sample, estimator);
        means.set(key, mean);
      }
      return around(on, mean, scale, interval, level);
    },
  };
}

/** See {@link fastRatePool}. */
export interface FastRatePool {
  /** What the rate rests on: arms with a value on the scale, or all where none or all had the event. */
  readonly inNumber: (
    scale: RateScale,
    zeroEvents: ZeroEvents,
  ) => { readonly arms: number; readonly shoulders: number; readonly events: number };
  /** Undefined when no arm has a value on the scale. */
  readonly rate: (
    scale: RateScale,
    zeroEvents: ZeroEvents,
    estimator: EstimatorChoice,
    interval: MeanInterval,
  ) => BareRate | undefined;
}

/** Whether an interval can be asked for with an estimator at all. */
export const canGoTogether = (estimator: EstimatorChoice, interval: MeanInterval): boolean =>
  estimator === 'common-effect'
    ? intervalGoesWith(interval, 'common-effect', 'dersimonian-laird')
    : intervalGoesWith(interval, 'random-effects', estimator);

interface OnScale {
  readonly sample: PooledSample;
  readonly harmonicTotal: number | undefined;
  readonly counts: { readonly arms: number; readonly shoulders: number; readonly events: number };
}

function onScale(counts: readonly Count[], scale: RateScale, amount: number): OnScale | undefined {
  const values: number[] = [];
  const variances: number[] = [];
  let inverses = 0;
  let allEvents = 0;
  let shoulders = 0;
  for (const { events, total } of counts) {
    const scaled =
      rateToScale(events, total, scale) ??
      (amount > 0 ? rateToScale(events + amount, total + 2 * amount, scale) : undefined);
    if (!scaled) continue;
    values.push(scaled.value);
    variances.push(scaled.variance);
    inverses += 1 / total;
    allEvents += events;
    shoulders += total;
  }
  if (values.length === 0) return undefined;
  return {
    sample: pooledSample(Float64Array.from(values), Float64Array.from(variances)),
    harmonicTotal: scale === 'double-arcsine' ? values.length / inverses : undefined,
    counts: { arms: values.length, shoulders, events: allEvents },
  };
}

function meanOf(sample: PooledSample, estimator: EstimatorChoice): WeightedMean {
  const common = weightedMean(sample, 0);
  if (estimator === 'common-effect' || sample.count < 2) return common;
  const { value } = varianceEstimatorMethods[estimator].estimate(sample, common);
  return value > 0 ? weightedMean(sample, value) : common;
}

function around(
  { sample, harmonicTotal }: OnScale,
  mean: WeightedMean,
  scale: RateScale,
  interval: MeanInterval,
  level: number,
): BareRate | undefined {
  const reach =
    meanIntervalMethods[interval].reach(sample, mean, level) ??
    meanIntervalMethods.wald.reach(sample, mean, level)!;
  const natural = naturalSummary(
    scale,
    sample.centre + mean.distance,
    {
      lower: sample.centre + (mean.distance - reach.below),
      upper: sample.centre + (mean.distance + reach.above),
      level,
    },
    undefined,
    harmonicTotal,
  );
  return natural?.interval ? { rate: natural.value, interval: natural.interval } : undefined;
}
