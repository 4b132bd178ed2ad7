import type { Estimate } from '../effects/estimate.ts';
import { type SubsetArrays, subsetBlock } from '../robustness/subsets/fillSubsets.ts';
import { cloudOf, type SubsetCloud } from '../robustness/subsets/subsetCloud.ts';
import { planSubsets, type SubsetOptions } from '../robustness/subsets/subsetPlan.ts';
import { openProgress } from './progress.ts';
import { runInWorkers } from './runInWorkers.ts';
import type { SubsetTask } from './subsetsWorker.ts';

const blocksPerTask = 4;

/**
 * Pools all subsets on all cores, with a progress line. The numbers are those of `subsetCloud`, to the last bit,
 * whatever the number of workers. Worth it from about twenty studies: starting a worker takes longer than a million
 * subsets.
 *
 * @throws RangeError as `subsetCloud`
 * @example
 * await subsetsInWorkers(estimates, { workers: 2 })
 */
export async function subsetsInWorkers(
  estimates: readonly Estimate[],
  options: SubsetOptions & { readonly workers?: number } = {},
): Promise<SubsetCloud> {
  const { workers, ...subsetOptions } = options;
  const plan = planSubsets(estimates, subsetOptions);
  const shared = (bytes: number): SharedArrayBuffer => new SharedArrayBuffer(bytes);
  const arrays: SubsetArrays = {
    means: new Float64Array(shared(8 * plan.subsets)),
    iSquared: new Float64Array(shared(8 * plan.subsets)),
    members: new Uint32Array(shared(plan.seed === undefined ? 0 : 4 * plan.subsets * plan.words)),
  };
  const blocks = Array.from({ length: Math.ceil(plan.subsets / subsetBlock) }, (_, block) => block);
  const tasks: SubsetTask[] = [];
  for (let from = 0; from < blocks.length; from += blocksPerTask) {
    tasks.push({ plan, arrays, blocks: blocks.slice(from, from + blocksPerTask) });
  }
  const progress = await openProgress();
  try {
    await runInWorkers<SubsetTask, number>(new URL('./subsetsWorker.ts', import.meta.url), tasks, {
      ...(workers === undefined ? {} : { workers }),
      onProgress: (done, all) => {
        if (process.stderr.isTTY) void progress.step(`pooled ${done} of ${all} lots of subsets`);
      },
    });
  } finally {
    progress.end();
  }
  return cloudOf(estimates, plan, arrays);
}
