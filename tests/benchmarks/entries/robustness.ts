import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { Piscina } from 'piscina';
import type { Estimate } from '../../../src/effects/estimate.ts';
import { pooledSample } from '../../../src/pooling/pooledSample.ts';
import type { SubsetTask } from '../../../src/publishing/subsetsWorker.ts';
import { leaveOneOut } from '../../../src/robustness/influence/leaveOneOut.ts';
import { type SubsetArrays, subsetBlock } from '../../../src/robustness/subsets/fillSubsets.ts';
import { scanSubsets } from '../../../src/robustness/subsets/scanSubsets.ts';
import { planSubsets } from '../../../src/robustness/subsets/subsetPlan.ts';
import { type Benchmark, type BenchmarkEntry, type Contestant, inProcess } from '../benchmark.ts';
import { inventedEstimates } from '../inventedEstimates.ts';

const name = 'all 2^20 subsets, mean and I²';

/** The same subsets in C, compiled here with gcc -O3, kept open so that only the loop is timed. */
class CompiledLoop implements Contestant {
  readonly name = 'C loop, gcc -O3, one core';
  readonly #folder: string;
  readonly #process: ChildProcess;
  readonly #lines: AsyncIterator<string>;
  readonly #expected: readonly [number, number];

  constructor(folder: string, estimates: readonly Estimate[], expected: readonly [number, number]) {
    this.#folder = folder;
    this.#process = spawn(join(folder, 'allSubsets'), { stdio: ['pipe', 'pipe', 'ignore'] });
    this.#lines = createInterface({ input: this.#process.stdout! })[Symbol.asyncIterator]();
    this.#expected = expected;
    const rows = estimates.map(({ value, variance }) => `${value} ${variance}\n`);
    this.#process.stdin!.write(`${estimates.length}\n${rows.join('')}`);
  }

  batch = async (): Promise<number> => {
    this.#process.stdin!.write('2\n');
    const { value, done } = await this.#lines.next();
    if (done) throw new Error('the compiled loop ended early');
    const [time, means, shares] = (value as string).split(' ').map(Number);
    for (const [at, theirs] of [means!, shares!].entries()) {
      const ours = this.#expected[at]!;
      // Added and taken away a million times, the sums in C drift by some 1e-9.
      if (!(Math.abs(theirs - ours) <= 1e-6 * Math.abs(ours)))
        throw new Error(`C gives ${theirs}, the library ${ours}: they must do the same work`);
    }
    return time!;
  };

  close = (): void => {
    this.#process.stdin!.end();
    rmSync(this.#folder, { recursive: true, force: true });
  };
}

const sum = (values: Float64Array): number => values.reduce((total, value) => total + value, 0);

function againstCompiled(): Benchmark {
  const folder = mkdtempSync(join(os.tmpdir(), 'tenosite-subsets-'));
  const source = fileURLToPath(new URL('../allSubsets.c', import.meta.url));
  const built = spawnSync('gcc', ['-O3', '-o', join(folder, 'allSubsets'), source]);
  if (built.status !== 0) {
    rmSync(folder, { recursive: true, force: true });
    return {
      kind: 'skipped',
      name,
      reason: 'gcc is not installed here, nothing to compile the reference with',
    };
  }
  const estimates = inventedEstimates(20);
  const sample = pooledSample(
    Float64Array.from(estimates, ({ value }) => value),
    Float64Array.from(estimates, ({ variance }) => variance),
  );
  const size = 2 ** 20 - 1;
  const pools = { means: new Float64Array(size), iSquared: new Float64Array(size) };
  const scan = () => {
    scanSubsets(sample, 1, size + 1, true, pools);
    return pools;
  };
  scan();
  const expected = [sum(pools.means) + size * sample.centre, sum(pools.iSquared)] as const;
  return {
    kind: 'ratio',
    name,
    subject: inProcess('scanSubsets, one thread', scan, 120),
    reference: new CompiledLoop(folder, estimates, expected),
    direction: 'at-most',
    target: 2,
  };
}

/** All subsets of 22 studies by the project's own worker, in threads that are already running. */
class WorkerThreads implements Contestant {
  readonly name: string;
  readonly #pool: Piscina<SubsetTask, number>;
  readonly #threads: number;
  readonly #plan = planSubsets(inventedEstimates(22));
  readonly #arrays: SubsetArrays;

  constructor(threads: number) {
    this.name = `${threads} worker${threads === 1 ? '' : 's'}`;
    this.#threads = threads;
    const bytes = 8 * this.#plan.subsets;
    this.#arrays = {
      means: new Float64Array(new SharedArrayBuffer(bytes)),
      iSquared: new Float64Array(new SharedArrayBuffer(bytes)),
      members: new Uint32Array(0),
    };
    this.#pool = new Piscina({
      filename: fileURLToPath(new URL('../../../src/publishing/subsetsWorker.ts', import.meta.url)),
      minThreads: threads,
      maxThreads: threads,
      execArgv: ['--import', 'tsx'],
    });
  }

  /** Threads that slept are woken by one pass that is not timed; then three passes are. */
  batch = async (): Promise<number> => {
    await this.#pass();
    const began = performance.now();
    for (let pass = 0; pass < 3; pass++) await this.#pass();
    return (performance.now() - began) / 3;
  };

  async #pass(): Promise<void> {
    const blocks = Array.from({ length: Math.ceil(this.#plan.subsets / subsetBlock) }, (_, block) => block);
    const perTask = 4;
    await Promise.all(
      Array.from({ length: Math.ceil(blocks.length / perTask) }, (_, task) =>
        this.#pool.run({
          plan: this.#plan,
          arrays: this.#arrays,
          blocks: blocks.slice(perTask * task, perTask * (task + 1)),
        }),
      ),
    );
  }

  close = (): void => {
    void this.#pool.destroy();
  };

  /** Starts every thread and lets its code settle. */
  async warm(): Promise<this> {
    for (let i = 0; i < 2 * this.#threads; i++) await this.batch();
    return this;
  }
}

async function scaling(): Promise<Benchmark> {
  const what = 'all 2^22 subsets, two cores';
  if (os.availableParallelism() < 2) {
    return { kind: 'skipped', name: what, reason: 'this machine gives one core only' };
  }
  return {
    kind: 'ratio',
    name: what,
    subject: await new WorkerThreads(2).warm(),
    reference: await new WorkerThreads(1).warm(),
    direction: 'at-least',
    target: 1.7,
    rounds: 9,
  };
}

export const entry: BenchmarkEntry = async () => {
  const many = inventedEstimates(5000);
  return [
    {
      kind: 'budget',
      name: 'leave one out, DerSimonian-Laird, 5,000 studies',
      subject: inProcess('leaveOneOut', () => leaveOneOut(many)),
      budgetMilliseconds: 5,
    },
    againstCompiled(),
    await scaling(),
  ];
};
