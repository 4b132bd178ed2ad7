import type { AnalysisScale } from '../../effects/analysisScale.ts';
import type { Estimate } from '../../effects/estimate.ts';
import type { PoolingModel } from '../../pooling/poolOptions.ts';
import { fillSubsets, type SubsetArrays, subsetBlock } from './fillSubsets.ts';
import { planSubsets, type SubsetOptions, type SubsetPlan } from './subsetPlan.ts';

/** The pooled mean and I² of every subset of the studies, or of a seeded sample of subsets. */
export interface SubsetCloud {
  readonly kind: 'subset-cloud';
  readonly scale: AnalysisScale;
  readonly model: PoolingModel;
  readonly estimates: readonly Estimate[];
  /** `all`: subset s (from 0) holds study i when bit i of s + 1 is set. `sample`: see `members`. */
  readonly taken: 'all' | 'sample';
  readonly seed: number | undefined;
  readonly subsets: number;
  /** Means on the analysis scale. */
  readonly means: Float64Array;
  readonly iSquared: Float64Array;
  readonly members: Uint32Array;
  readonly words: number;
}

/**
 * What would the pool be, had any of these studies never been done?
 *
 * The random-effects mean (DerSimonian-Laird) and I² of all 2^k - 1 subsets of up to 22 estimates, exactly; above
 * that, or when asked, of a seeded sample in which every subset is equally likely.
 *
 * @param estimates one or more values and variances on one scale
 * @param options model and sample, see {@link SubsetOptions}
 * @returns typed arrays, one entry a subset; see {@link isMember} for who is in
 * @throws RangeError for an unknown option, a sample that is not a count and a seed, and as `poolEstimates`
 *
 * Source: Olkin I, Dahabreh IJ, Trikalinos TA, Res Synth Methods 2012;3:214-223.
 *
 * @example
 * subsetCloud(estimates).means.length // 1023 for ten studies
 */
export function subsetCloud(estimates: readonly Estimate[], options: SubsetOptions = {}): SubsetCloud {
  const plan = planSubsets(estimates, options);
  const arrays: SubsetArrays = {
    means: new Float64Array(plan.subsets),
    iSquared: new Float64Array(plan.subsets),
    members: new Uint32Array(plan.seed === undefined ? 0 : plan.subsets * plan.words),
  };
  for (let block = 0; block * subsetBlock < plan.subsets; block++) fillSubsets(plan, block, arrays);
  return cloudOf(estimates, plan, arrays);
}

/** Puts a plan and its filled arrays together. */
export function cloudOf(estimates: readonly Estimate[], plan: SubsetPlan, arrays: SubsetArrays): SubsetCloud {
  return {
    kind: 'subset-cloud',
    scale: plan.scale,
    model: plan.model,
    estimates,
    taken: plan.seed === undefined ? 'all' : 'sample',
    seed: plan.seed,
    subsets: plan.subsets,
    ...arrays,
    words: plan.words,
  };
}

/** Is the study at this position among the estimates a member of this subset (from 0)? */
export function isMember(cloud: SubsetCloud, subset: number, study: number): boolean {
  const word = cloud.taken === 'all' ? subset + 1 : cloud.members[subset * cloud.words + (study >>> 5)]!;
  return ((word >>> (study & 31)) & 1) === 1;
}

/** How many studies are in this subset (from 0)? */
export function memberCount(cloud: SubsetCloud, subset: number): number {
  if (cloud.taken === 'all') return bitCount(subset + 1);
  let count = 0;
  for (let word = 0; word < cloud.words; word++)
    count += bitCount(cloud.members[subset * cloud.words + word]!);
  return count;
}

function bitCount(bits: number): number {
  let left = bits;
  let count = 0;
  while (left !== 0) {
    left &= left - 1;
    count++;
  }
  return count;
}
