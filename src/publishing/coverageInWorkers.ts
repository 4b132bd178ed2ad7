import {
  type CoverageResult,
  type CoverageScenario,
  simulateCoverage,
} from '../pooling/calibration/simulateCoverage.ts';
import { openProgress } from './progress.ts';
import { runInWorkers } from './runInWorkers.ts';

/** Below so many simulated reviews in all, starting workers costs more than the work (about a second each, measured). */
const worthWorkers = 100_000;

/**
 * Simulates many scenarios on all cores, with a progress line. The results are those of `simulateCoverage` called for
 * each scenario, in order, whatever the number of workers; a short simulation runs where it is asked for.
 *
 * @param options.workers number of workers; given, they are used however short the simulation
 *
 * @example
 * await coverageInWorkers(scenarios)
 */
export async function coverageInWorkers(
  scenarios: readonly CoverageScenario[],
  options: { readonly workers?: number } = {},
): Promise<readonly CoverageResult[]> {
  const reviews = scenarios.reduce((sum, scenario) => sum + scenario.reviews, 0);
  if (options.workers === undefined && reviews < worthWorkers) return scenarios.flatMap(simulateCoverage);
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
