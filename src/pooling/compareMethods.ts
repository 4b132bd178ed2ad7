import { rateScales } from '../effects/analysisScale.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';
import type { Interval } from '../numerics/interval.ts';
import { type BinomialNormalFit, binomialNormalIntervals } from './binomialNormalFit.ts';
import { fitBinomialNormal } from './fitBinomialNormal.ts';
import { meanIntervalMethods } from './meanIntervalMethods.ts';
import type { PooledRate } from './pooledRate.ts';
import { meanIntervals, predictionIntervals, varianceEstimators, varianceIntervals } from './poolOptions.ts';
import { poolRates } from './poolRates.ts';
import { predictionIntervalMethods } from './predictionIntervalMethods.ts';
import type { RatePoolOptions } from './ratePoolOptions.ts';
import { intervalGoesWith, resolvePoolOptions } from './resolvePoolOptions.ts';
import { varianceEstimatorMethods } from './varianceEstimatorMethods.ts';
import { varianceIntervalMethods } from './varianceIntervalMethods.ts';

/** One method's answer to the question every other method in its group was asked. */
export interface MethodAnswer {
  /** The option value, as in a protocol. */
  readonly id: string;
  /** The method's full name. */
  readonly name: string;
  /** Is it the one the options chose? */
  readonly chosen: boolean;
  readonly pool: PooledRate;
}

/** The same arms pooled by every method, one choice varied at a time. */
export interface MethodsCompared {
  readonly kind: 'methods-compared';
  /** The pool by the options given. */
  readonly chosen: PooledRate;
  readonly varianceEstimators: readonly MethodAnswer[];
  /** Intervals for the mean; the two from the likelihood are centred on the maximum-likelihood mean. */
  readonly meanIntervals: readonly MethodAnswer[];
  readonly varianceIntervals: readonly MethodAnswer[];
  readonly predictionIntervals: readonly MethodAnswer[];
  readonly scales: readonly MethodAnswer[];
  /** The one-step model by each of its intervals. */
  readonly oneStep: readonly BinomialNormalFit[];
  /** How far answers to one choice lie apart, largest first: what the answer hangs on. */
  readonly spread: readonly { readonly choice: string; readonly rates: Interval; readonly width: number }[];
}

/**
 * What would this pool say by every other method a reviewer might ask for?
 *
 * One choice is varied at a time, all others stay as given. `spread` ranks the choices by how far the pooled rate,
 * or for intervals their upper limit, moves.
 *
 * @throws RangeError as {@link poolRates}
 * @example
 * compareMethods(arms, { scale: 'logit', zeroEvents: { addToEachCell: 0.5 } }).spread[0]
 */
export function compareMethods(arms: readonly ArmEvents[], options: RatePoolOptions = {}): MethodsCompared {
  const { model, betweenStudyVariance, interval, prediction, varianceInterval } = resolvePoolOptions({
    ...(options.model === undefined ? {} : { model: options.model }),
    ...(options.betweenStudyVariance === undefined
      ? {}
      : { betweenStudyVariance: options.betweenStudyVariance }),
    ...(options.interval === undefined ? {} : { interval: options.interval }),
    ...(options.prediction === undefined ? {} : { prediction: options.prediction }),
    ...(options.varianceInterval === undefined ? {} : { varianceInterval: options.varianceInterval }),
  });
  const chosenScale = options.scale ?? 'logit';
  const answer = (id: string, name: string, chosen: boolean, changed: RatePoolOptions): MethodAnswer => ({
    id,
    name,
    chosen,
    pool: poolRates(arms, { ...options, ...changed }),
  });
  const estimators = varianceEstimators.map((id) =>
    answer(id, varianceEstimatorMethods[id].name, id === betweenStudyVariance, {
      betweenStudyVariance: id,
      // A likelihood interval goes with the maximum-likelihood estimate only; Wald goes with all.
      interval: intervalGoesWith(interval, model, id) ? interval : 'wald',
    }),
  );
  const intervals = meanIntervals.map((id) =>
    answer(id, `${meanIntervalMethods[id].name} interval`, id === interval, {
      interval: id,
      ...(intervalGoesWith(id, model, betweenStudyVariance)
        ? {}
        : { model: 'random-effects', betweenStudyVariance: 'maximum-likelihood' }),
    }),
  );
  const scales = rateScales.map((id) =>
    answer(id, `${id.replace('-', ' ')} scale`, id === chosenScale, { scale: id }),
  );
  const chosen = poolRates(arms, options);
  const { level, quadraturePoints } = chosen.options;
  const compared = {
    kind: 'methods-compared',
    chosen,
    varianceEstimators: estimators,
    meanIntervals: intervals,
    varianceIntervals: varianceIntervals.map((id) =>
      answer(id, `${varianceIntervalMethods[id].name} interval`, id === varianceInterval, {
        varianceInterval: id,
      }),
    ),
    predictionIntervals: predictionIntervals.map((id) =>
      answer(id, predictionIntervalMethods[id].name, id === prediction, { prediction: id }),
    ),
    scales,
    oneStep: binomialNormalIntervals.map((id) =>
      fitBinomialNormal(chosen.arms, { level, quadraturePoints, interval: id }),
    ),
  } as const;
  const rate = ({ pool }: MethodAnswer) => pool.twoStep.natural?.value;
  const upper = ({ pool }: MethodAnswer) => pool.twoStep.natural?.interval?.upper;
  const nextUpper = ({ pool }: MethodAnswer) => pool.twoStep.natural?.prediction?.upper;
  const spread = [
    span('the estimator of the between-study variance (pooled rate)', estimators.map(rate)),
    span('the scale (pooled rate)', scales.map(rate)),
    span('the model: two steps or one (pooled rate)', [
      compared.chosen.twoStep.natural?.value,
      compared.chosen.oneStep.rate,
    ]),
    span('the interval for the mean (its upper limit)', intervals.map(upper)),
    span('the prediction interval (its upper limit)', compared.predictionIntervals.map(nextUpper)),
  ]
    .filter((each) => each !== undefined)
    .sort((a, b) => b.width - a.width);
  return { ...compared, spread };
}

function span(choice: string, values: readonly (number | undefined)[]) {
  const known = values.filter((value) => value !== undefined);
  if (known.length < 2) return undefined;
  const rates = { lower: Math.min(...known), upper: Math.max(...known), level: 1 };
  return { choice, rates, width: rates.upper - rates.lower };
}
