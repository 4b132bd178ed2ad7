import type { AnalysisScale } from '../../effects/analysisScale.ts';
import type { Estimate } from '../../effects/estimate.ts';
import { checkEstimates } from '../../pooling/checkEstimates.ts';
import { checkChoice, checkOptionNames } from '../../pooling/optionChecks.ts';
import { type PoolingModel, poolingModels } from '../../pooling/poolOptions.ts';

/** Up to this many studies every subset is pooled: 4,194,303 of them. */
export const mostStudiesExhaustive = 22;

export interface SubsetSample {
  /** How many subsets are drawn. */
  readonly subsets: number;
  readonly seed: number;
}

export interface SubsetOptions {
  /** Default `random-effects`, with the DerSimonian-Laird between-study variance. */
  readonly model?: PoolingModel;
  /** Draws subsets instead of taking all; above 22 studies the default is 200,000 from seed 1. */
  readonly sample?: SubsetSample;
}

/** What is to be pooled; plain enough to be sent to a worker. */
export interface SubsetPlan {
  readonly scale: AnalysisScale;
  readonly model: PoolingModel;
  readonly values: Float64Array;
  readonly variances: Float64Array;
  /** How many subsets: 2^k - 1, or the size of the sample. */
  readonly subsets: number;
  /** Undefined when every subset is pooled. */
  readonly seed: number | undefined;
  /** 32-bit words that hold the members of one subset. */
  readonly words: number;
}

/** Checks estimates and options, and says which subsets will be pooled. */
export function planSubsets(estimates: readonly Estimate[], options: SubsetOptions = {}): SubsetPlan {
  checkOptionNames(options, ['model', 'sample']);
  const model = checkChoice('model', options.model ?? 'random-effects', poolingModels);
  const scale = checkEstimates(estimates, undefined);
  const count = estimates.length;
  if (count === 0) throw new RangeError('subsets need at least one estimate, received none');
  const sample =
    options.sample ?? (count > mostStudiesExhaustive ? { subsets: 200_000, seed: 1 } : undefined);
  if (sample) checkSample(sample);
  return {
    scale,
    model,
    values: Float64Array.from(estimates, ({ value }) => value),
    variances: Float64Array.from(estimates, ({ variance }) => variance),
    subsets: sample ? sample.subsets : 2 ** count - 1,
    seed: sample?.seed,
    words: Math.ceil(count / 32),
  };
}

function checkSample({ subsets, seed }: SubsetSample): void {
  if (!(Number.isInteger(subsets) && subsets >= 1 && subsets <= 10_000_000)) {
    throw new RangeError(`sample.subsets must be a whole number from 1 to 10000000, received ${subsets}`);
  }
  if (!(Number.isInteger(seed) && Math.abs(seed) <= 2 ** 31 - 1)) {
    throw new RangeError(`sample.seed must be a whole number of at most 31 bits, received ${seed}`);
  }
}
