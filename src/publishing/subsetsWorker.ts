import { fillSubsets, type SubsetArrays } from '../robustness/subsets/fillSubsets.ts';
import type { SubsetPlan } from '../robustness/subsets/subsetPlan.ts';

/** A few blocks of a plan. The arrays are shared memory: they are filled in place and nothing is sent back. */
export interface SubsetTask {
  readonly plan: SubsetPlan;
  readonly blocks: readonly number[];
  readonly arrays: SubsetArrays;
}

/** What a worker thread does with a few blocks of subsets: the same as the library called directly. */
export default function subsetsWorker({ plan, blocks, arrays }: SubsetTask): number {
  for (const block of blocks) fillSubsets(plan, block, arrays);
  return blocks.length;
}
