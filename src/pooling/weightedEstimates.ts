import type { Estimate } from '../effects/estimate.ts';
import { normalQuantile } from '../numerics/distributions.ts';
import type { WeightedEstimate } from './pooledResult.ts';
import type { WeightedMean } from './pooledSample.ts';

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** Fails to type-check when an estimate gains a field that is not copied below. */
type Copied =
  | 'study'
  | 'label'
  | 'arm'
  | 'value'
  | 'variance'
  | 'scale'
  | 'count'
  | 'counts'
  | 'addedToEachCell'
  | 'rows';
const everyFieldIsCopied: Exclude<keyof Estimate, Copied> extends never ? true : never = true;
void everyFieldIsCopied;

/**
 * Each estimate with its share of the weight and its own normal interval.
 *
 * Fields are copied by name: copying 5,000 estimates by spread takes twenty times as long as pooling them.
 */
export function weightedEstimates(
  estimates: readonly Estimate[],
  mean: WeightedMean,
  level: number,
): WeightedEstimate[] {
  const z = -normalQuantile((1 - level) / 2);
  const weighted: WeightedEstimate[] = new Array(estimates.length);
  for (let i = 0; i < estimates.length; i++) {
    const { study, label, value, variance, scale, addedToEachCell, rows, arm, count, counts } = estimates[i]!;
    const margin = z * Math.sqrt(variance);
    const copy: Writable<WeightedEstimate> = {
      study,
      label,
      value,
      variance,
      scale,
      addedToEachCell,
      rows,
      weight: 1 / (variance + mean.betweenStudyVariance) / mean.weightSum,
      interval: { lower: value - margin, upper: value + margin, level },
    };
    if (arm !== undefined) copy.arm = arm;
    if (count !== undefined) copy.count = count;
    if (counts !== undefined) copy.counts = counts;
    weighted[i] = copy;
  }
  return weighted;
}
