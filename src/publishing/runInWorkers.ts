import os from 'node:os';
import { fileURLToPath } from 'node:url';
import { Piscina } from 'piscina';

/**
 * How are many independent tasks spread over the machine's cores?
 *
 * Results come back in the order of the tasks, whatever order they finish in; tasks carry their own seeds, so the
 * number of workers cannot change a result.
 *
 * @param worker module whose default export handles one task
 * @param onProgress called after each task with how many are done
 * @example
 * await runInWorkers(new URL('./coverageWorker.ts', import.meta.url), scenarios)
 */
export async function runInWorkers<Task, Result>(
  worker: URL,
  tasks: readonly Task[],
  options: { readonly workers?: number; readonly onProgress?: (done: number, all: number) => void } = {},
): Promise<Result[]> {
  const pool = new Piscina<Task, Result>({
    filename: fileURLToPath(worker),
    maxThreads: Math.min(options.workers ?? os.availableParallelism(), tasks.length || 1),
    execArgv: ['--import', 'tsx'],
  });
  try {
    let done = 0;
    return await Promise.all(
      tasks.map(async (task) => {
        const result = await pool.run(task);
        done += 1;
        options.onProgress?.(done, tasks.length);
        return result;
      }),
    );
  } finally {
    await pool.destroy();
  }
}
