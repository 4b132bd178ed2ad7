import { hasNullAtZero } from '../effects/analysisScale.ts';
import type { Estimate } from '../effects/estimate.ts';
import type { Interval } from '../numerics/interval.ts';
import type { Caution } from './caution.ts';
import { checkEstimates } from './checkEstimates.ts';
import { heterogeneityOf } from './heterogeneity.ts';
import { intervalChoiceCaution } from './intervalChoiceCaution.ts';
import { meanIntervalMethods } from './meanIntervalMethods.ts';
import { levelText, methodsSentence } from './methodsSentence.ts';
import { harmonicMeanTotal, naturalSummary } from './naturalSummary.ts';
import { cautionsAboutStudies } from './poolCautions.ts';
import type { PooledResult, WeightedEstimate } from './pooledResult.ts';
import { type PooledSample, pooledSample, type WeightedMean, weightedMean } from './pooledSample.ts';
import type { MeanInterval, PoolOptions, ResolvedPoolOptions } from './poolOptions.ts';
import { predictionIntervalMethods } from './predictionIntervalMethods.ts';
import { resolvePoolOptions } from './resolvePoolOptions.ts';
import { heaviestStudy, studyRoll } from './studyRoll.ts';
import { varianceEstimatorMethods } from './varianceEstimatorMethods.ts';
import { weightedEstimates } from './weightedEstimates.ts';

/**
 * What do these studies say together, how much do they differ, and where may the next one lie?
 *
 * Each estimate is weighted by `1 / (variance + τ²)`, with `τ²` zero under a common effect. Awkward data
 * (nothing to pool, one study, studies without scatter) give typed cautions on the result.
 *
 * @param estimates values and variances, all on one scale
 * @param options model, estimator, intervals, level; see {@link PoolOptions}
 * @returns mean, heterogeneity and prediction on the analysis scale, and the same back-transformed
 * @throws RangeError for an unknown option, a value that is not finite, a variance not above zero, or
 *   estimates on different scales; the message names the study and the value received
 *
 * Sources: DerSimonian R, Laird N, Control Clin Trials 1986;7:177-188, section 3; the parts name their own.
 *
 * @example
 * const pooled = poolEstimates(estimates, { interval: 'hartung-knapp' });
 * pooled.natural?.interval; // { lower: 0.34, upper: 0.71, level: 0.95 }
 */
export function poolEstimates(estimates: readonly Estimate[], options: PoolOptions = {}): PooledResult {
  const resolved = resolvePoolOptions(options);
  const scale = checkEstimates(estimates, options.scale);
  const leftOut = options.leftOut ?? [];
  const count = estimates.length;
  const roll = studyRoll(estimates);

  let summary: Summary | undefined;
  let weighted: readonly WeightedEstimate[] = [];
  if (count > 0) {
    const sample = sampleOf(estimates);
    summary = summarise(sample, resolved);
    weighted = weightedEstimates(estimates, summary.mean, resolved.level);
  }
  const harmonicTotal = scale === 'double-arcsine' ? harmonicMeanTotal(estimates) : undefined;
  const natural =
    summary && naturalSummary(scale, summary.value, summary.interval, summary.prediction, harmonicTotal);
  const cautions: Caution[] = cautionsAboutStudies({
    estimates: count,
    studies: roll.studies,
    identical: estimates.every((estimate) => estimate.value === estimates[0]!.value),
    addedToEachCell: roll.addedToEachCell,
    corrected: roll.corrected,
    repeated: roll.repeated,
    heaviest: summary && heaviestStudy(weighted, roll.repeated.length > 0),
    leftOut,
  });
  if (summary) cautions.push(...summary.cautions);
  if (scale === 'double-arcsine' && count > 0) cautions.push(doubleArcsineCaution(harmonicTotal));
  if (
    summary &&
    natural !== undefined &&
    (!natural.interval || (summary.prediction && !natural.prediction))
  ) {
    cautions.push({
      code: 'limit-not-reached',
      message: 'A limit is too large to be written as a ratio: in practice there is no upper limit.',
    });
  }
  return {
    kind: 'pooled-result',
    scale,
    options: resolved,
    studies: roll.studies,
    ...(roll.imputed > 0 ? { imputed: roll.imputed } : {}),
    estimates: weighted,
    leftOut,
    mean: summary && {
      value: summary.value,
      standardError: summary.standardError,
      interval: summary.interval,
      intervalMethod: summary.intervalMethod,
      pValue: hasNullAtZero(scale) ? summary.pValueAtZero() : undefined,
    },
    heterogeneity: summary?.heterogeneity,
    prediction: summary?.prediction,
    natural,
    cautions,
    methodsSentence: methodsSentence({
      scale,
      options: resolved,
      estimates: count,
      studies: roll.studies,
      imputed: roll.imputed,
      intervalUsed: summary?.intervalMethod ?? resolved.interval,
      predicted: summary?.prediction !== undefined,
      addedToEachCell: roll.addedToEachCell,
      corrected: roll.corrected,
      harmonicTotal,
    }),
  };
}

interface Summary {
  readonly mean: WeightedMean;
  readonly value: number;
  readonly standardError: number;
  readonly interval: Interval;
  readonly intervalMethod: MeanInterval;
  readonly pValueAtZero: () => number | undefined;
  readonly prediction: Interval | undefined;
  readonly heterogeneity: PooledResult['heterogeneity'];
  readonly cautions: readonly Caution[];
}

function sampleOf(estimates: readonly Estimate[]): PooledSample {
  const values = new Float64Array(estimates.length);
  const variances = new Float64Array(estimates.length);
  for (let i = 0; i < estimates.length; i++) {
    values[i] = estimates[i]!.value;
    variances[i] = estimates[i]!.variance;
  }
  return pooledSample(values, variances);
}

function summarise(sample: PooledSample, options: ResolvedPoolOptions): Summary {
  const { level } = options;
  const cautions: Caution[] = [];
  const common = weightedMean(sample, 0);
  const several = sample.count > 1;
  const estimated = several
    ? varianceEstimatorMethods[options.betweenStudyVariance].estimate(sample, common)
    : { value: 0 };
  if (estimated.cautions) cautions.push(...estimated.cautions);
  const randomEffects = options.model === 'random-effects';
  const mean = randomEffects && estimated.value > 0 ? weightedMean(sample, estimated.value) : common;

  let intervalMethod = options.interval;
  let reach = meanIntervalMethods[intervalMethod].reach(sample, mean, level);
  const waldReach = meanIntervalMethods.wald.reach(sample, mean, level)!;
  if (!reach) {
    // The one thing that can be said without scatter between studies is what their own variances say.
    cautions.push({
      code: 'interval-method-replaced',
      message: `The ${meanIntervalMethods[intervalMethod].name} interval has no answer without scatter between studies: the ${meanIntervalMethods.wald.name} interval is given.`,
    });
    intervalMethod = 'wald';
    reach = waldReach;
  } else if (intervalMethod === 'hartung-knapp' && reach.below < waldReach.below) {
    cautions.push({
      code: 'hartung-knapp-narrower-than-wald',
      message:
        'The Hartung-Knapp interval is shorter than the Wald interval here: the studies happen to agree, and it may be too short.',
    });
  }
  const value = sample.centre + mean.distance;
  const around = ({ below, above }: { below: number; above: number }): Interval => ({
    lower: sample.centre + (mean.distance - below),
    upper: sample.centre + (mean.distance + above),
    level,
  });
  const predictionReach = randomEffects
    ? predictionIntervalMethods[options.prediction].reach(sample, mean, level, options.bootstrap)
    : undefined;
  const drawsBeyond = ((1 - level) / 2) * (options.bootstrap?.draws ?? 0);
  if (predictionReach && options.bootstrap && drawsBeyond < 1) {
    cautions.push({
      code: 'few-bootstrap-draws',
      message: `Fewer than one of the ${options.bootstrap.draws} draws lies beyond each limit of a ${levelText(level)} prediction interval, so that it is too short: it needs more draws, or a lower level.`,
    });
  }
  const heterogeneity = several ? heterogeneityOf(sample, common, estimated.value, options) : undefined;
  if (heterogeneity && !heterogeneity.betweenStudyVarianceInterval) {
    cautions.push({
      code: 'limit-not-reached',
      message:
        'The studies agree more closely than chance alone would have them: the between-study variance has no interval.',
    });
  }
  if (randomEffects) {
    const choice = intervalChoiceCaution({
      interval: options.interval,
      studies: sample.count,
      betweenStudyVariance: mean.betweenStudyVariance,
      imbalance: weightImbalance(sample, mean.betweenStudyVariance),
    });
    if (choice) cautions.push(choice);
  }
  return {
    mean,
    value,
    standardError: reach.standardError,
    interval: around(reach),
    intervalMethod,
    pValueAtZero: () => meanIntervalMethods[intervalMethod].pValue(sample, mean, -sample.centre),
    prediction: predictionReach && around(predictionReach),
    heterogeneity,
    cautions,
  };
}

/** Largest weight over smallest. */
function weightImbalance(sample: PooledSample, betweenStudyVariance: number): number {
  let largest = 0;
  for (let i = 0; i < sample.count; i++) largest = Math.max(largest, sample.variances[i]!);
  return (largest + betweenStudyVariance) / (sample.variances[sample.mostPrecise]! + betweenStudyVariance);
}

function doubleArcsineCaution(harmonicTotal: number | undefined): Caution {
  const code = 'double-arcsine-back-transformation';
  return harmonicTotal === undefined
    ? { code, message: 'Not turned back into a rate: an estimate does not carry the count it came from.' }
    : {
        code,
        message: `Turned back into a rate with the harmonic mean of the totals (${Number(harmonicTotal.toPrecision(4))}); with arms of very different size this can mislead badly.`,
      };
}
