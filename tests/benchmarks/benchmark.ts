/** Something that can be timed in batches. */
export interface Contestant {
  readonly name: string;
  /** Milliseconds per run over one batch. */
  readonly batch: () => number | Promise<number>;
  /** Ends whatever the contestant started. */
  readonly close?: () => void;
}

/** Two contestants timed turn by turn; their ratio is held to a target. */
export interface RatioBenchmark {
  readonly kind: 'ratio';
  readonly name: string;
  readonly subject: Contestant;
  readonly reference: Contestant;
  /** `at-most`: subject time / reference time. `at-least`: reference time / subject time, how many times faster. */
  readonly direction: 'at-most' | 'at-least';
  readonly target: number;
  readonly rounds?: number;
}

/** One time held to a budget; machines differ, so only a threefold miss fails. */
export interface BudgetBenchmark {
  readonly kind: 'budget';
  readonly name: string;
  readonly subject: Contestant;
  readonly budgetMilliseconds: number;
  readonly rounds?: number;
}

/** A comparison that cannot be made here, and why. */
export interface SkippedBenchmark {
  readonly kind: 'skipped';
  readonly name: string;
  readonly reason: string;
}

export type Benchmark = RatioBenchmark | BudgetBenchmark | SkippedBenchmark;

/** What a file in `entries/` exports as `entry`: made when it is its turn, so that nothing starts early. */
export type BenchmarkEntry = () => Promise<readonly Benchmark[]> | readonly Benchmark[];

/** Keeps results alive so that the engine cannot drop the work. */
let sink: unknown;
export const lastResult = (): unknown => sink;

/**
 * A contestant for a function of this process: warmed up, then run often enough per batch to fill the time given.
 */
export function inProcess(name: string, run: () => unknown, batchMilliseconds = 40): Contestant {
  let perBatch = 0;
  return {
    name,
    batch() {
      if (perBatch === 0) {
        // Warm up until the compiler has settled, then choose the batch size from what it costs.
        let runs = 0;
        const began = performance.now();
        while (performance.now() - began < 5 * batchMilliseconds || runs < 3) {
          sink = run();
          runs += 1;
        }
        perBatch = Math.max(1, Math.round((runs / (performance.now() - began)) * batchMilliseconds));
      }
      const began = performance.now();
      for (let i = 0; i < perBatch; i++) sink = run();
      return (performance.now() - began) / perBatch;
    },
  };
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
