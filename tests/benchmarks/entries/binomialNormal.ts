import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import type { Count } from '../../../src/effects/estimate.ts';
import { fitBinomialNormal } from '../../../src/pooling/fitBinomialNormal.ts';
import { type BenchmarkEntry, type Contestant, inProcess } from '../benchmark.ts';
import { inventedEstimates } from '../inventedEstimates.ts';

const name = 'binomial-normal fit of 20 studies';

/** lme4 in a process of its own, kept open so that only fitting is timed. */
class GlmerProcess implements Contestant {
  readonly name = 'lme4 glmer(nAGQ = 7)';
  readonly #process: ChildProcess;
  readonly #lines: AsyncIterator<string>;
  readonly #expectedMean: number;
  #ready = false;

  constructor(counts: readonly Count[], expectedMean: number) {
    this.#process = spawn(
      'Rscript',
      [
        '--vanilla',
        fileURLToPath(new URL('../glmerBatches.R', import.meta.url)),
        counts.map((count) => count.events).join(','),
        counts.map((count) => count.total).join(','),
      ],
      { stdio: ['pipe', 'pipe', 'ignore'] },
    );
    this.#lines = createInterface({ input: this.#process.stdout! })[Symbol.asyncIterator]();
    this.#expectedMean = expectedMean;
  }

  batch = async (): Promise<number> => {
    if (!this.#ready) {
      await this.#next();
      this.#ready = true;
    }
    this.#process.stdin!.write('5\n');
    const [time, mean] = (await this.#next()).split(' ').map(Number);
    if (!(Math.abs(mean! - this.#expectedMean) < 1e-4)) {
      throw new Error(`lme4 fits a mean of ${mean}, the library ${this.#expectedMean}: not the same model`);
    }
    return time!;
  };

  close = (): void => {
    this.#process.stdin!.end();
  };

  async #next(): Promise<string> {
    const { value, done } = await this.#lines.next();
    if (done) {
      const [code] =
        this.#process.exitCode === null ? await once(this.#process, 'exit') : [this.#process.exitCode];
      throw new Error(`Rscript ended with code ${code}`);
    }
    return value;
  }
}

export const entry: BenchmarkEntry = () => {
  const found = spawnSync('Rscript', [
    '--vanilla',
    '-e',
    'quit(status = !requireNamespace("lme4", quietly = TRUE))',
  ]);
  const counts = inventedEstimates(20).map((estimate) => estimate.count!);
  const fitted = () => fitBinomialNormal(counts, { quadraturePoints: 7 });
  if (found.status !== 0) {
    return [
      { kind: 'skipped', name, reason: 'Rscript with lme4 is not installed here, nothing to pair with' },
    ];
  }
  return [
    {
      kind: 'ratio',
      name,
      subject: inProcess('fitBinomialNormal, 7 points', fitted),
      reference: new GlmerProcess(counts, fitted().mean!),
      direction: 'at-least',
      target: 20,
    },
  ];
};
