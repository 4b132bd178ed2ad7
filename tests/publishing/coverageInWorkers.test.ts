// Seeded simulation gives the same bits wherever it runs, and matches what is known of coverage.
import { describe, expect, test } from 'vitest';
import {
  type CoverageScenario,
  simulateCoverage,
  studySizePatterns,
} from '../../src/pooling/calibration/simulateCoverage.ts';
import { coverageInWorkers } from '../../src/publishing/coverageInWorkers.ts';

const methods = (['wald', 'hartung-knapp'] as const).map((interval) => ({
  betweenStudyVariance: 'dersimonian-laird' as const,
  interval,
}));
const scenario = (changed: Partial<CoverageScenario>): CoverageScenario => ({
  studies: 5,
  iSquared: 0.5,
  sizes: 'equal',
  reviews: 4000,
  seed: 7,
  methods,
  ...changed,
});

describe('coverage', () => {
  test('one worker, two workers and none give the same results', async () => {
    const scenarios = studySizePatterns.map((sizes) => scenario({ sizes, reviews: 300 }));
    const here = scenarios.flatMap(simulateCoverage);
    expect(await coverageInWorkers(scenarios)).toEqual(here);
    expect(await coverageInWorkers(scenarios, { workers: 1 })).toEqual(here);
    expect(await coverageInWorkers(scenarios, { workers: 2 })).toEqual(here);
  });

  test('without heterogeneity and with a common effect known, Wald covers 95 % (exact): the simulation itself is sound', () => {
    // With I² = 0 a variance estimate can only widen the interval: coverage is at least nominal.
    const [wald] = simulateCoverage(scenario({ iSquared: 0, studies: 20, reviews: 20_000 }));
    expect(wald!.coverage).toBeGreaterThan(0.95 - 3 * wald!.monteCarloError);
    expect(wald!.coverage).toBeLessThan(0.975);
  });

  test('equal studies: Hartung-Knapp is the one-sample t interval, which is exact at any number of studies', () => {
    for (const studies of [3, 6]) {
      const [, hartungKnapp] = simulateCoverage(scenario({ studies, iSquared: 0.9, reviews: 20_000 }));
      expect(Math.abs(hartungKnapp!.coverage - 0.95)).toBeLessThan(4 * hartungKnapp!.monteCarloError);
    }
  });

  test('few differing studies: Wald falls well short (IntHout et al. 2014)', () => {
    const [wald] = simulateCoverage(scenario({ studies: 3, iSquared: 0.9, reviews: 20_000 }));
    expect(wald!.coverage).toBeLessThan(0.88);
  });

  test('misuse is refused with name, bound and value', () => {
    expect(() => simulateCoverage(scenario({ studies: 1 }))).toThrow(
      'studies must be a whole number of at least 2, received 1',
    );
    expect(() => simulateCoverage(scenario({ iSquared: 1 }))).toThrow(
      'iSquared must be at least 0 and below 1, received 1',
    );
  });
});
