import type { CoverageResult, CoverageScenario } from '../pooling/calibration/simulateCoverage.ts';
import { openProgress } from './progress.ts';
import { runInWorkers } from './runInWorkers.ts';

/**
 * Simulates many scenarios on all cores, with a progress line. The results are those of `simulateCoverage` called for
 * each scenario, in order, whatever the number of workers.
 *
 * @example
 * await coverageInWorkers(scenarios)
 */
export async function coverageInWorkers(
  scenarios: readonly CoverageScenario[],
  options: { readonly workers?: number } = {},
): Promise<readonly CoverageResult[]> {
  const progress = await openProgress();
  let lastQuarter = 0;
  try {
    const results = await runInWorkers<CoverageScenario, readonly CoverageResult[]>(
      new URL('./coverageWorker.ts', import.meta.url),
      scenarios,
      {
        ...options,
        onProgress: (done, all) => {
          const quarter = Math.floor((4 * done) / all);
          if (quarter > lastQuarter && process.stderr.isTTY)
            void progress.step(`simulated ${done} of ${all} scenarios`);
          lastQuarter = quarter;
        },
      },
    );
    return results.flat();
  } finally {
    progress.end();
  }
}
