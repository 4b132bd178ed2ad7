import {
  type CoverageResult,
  type CoverageScenario,
  simulateCoverage,
} from '../pooling/calibration/simulateCoverage.ts';

/** What a worker thread does with one scenario: the same as the library called directly. */
export default function coverageWorker(scenario: CoverageScenario): readonly CoverageResult[] {
  return simulateCoverage(scenario);
}
