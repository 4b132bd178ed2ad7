// Several estimates per study: the three-level model and the cluster-robust mean against written-out matrix formulas
// in numpy/scipy and base R (tests/reference/dependence.py and .R).
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Estimate } from '../../../src/effects/estimate.ts';
import { clusterRobustMean } from '../../../src/pooling/dependence/clusterRobust.ts';
import { likelihoodPoint } from '../../../src/pooling/dependence/restrictedLikelihood.ts';
import { sharedArmCovariance } from '../../../src/pooling/dependence/sharedArmCovariance.ts';
import { studyClusters } from '../../../src/pooling/dependence/studyClusters.ts';
import { fitThreeLevel, threeLevelEstimators } from '../../../src/pooling/dependence/threeLevel.ts';
import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { expectClose } from '../../helpers/close.ts';
import { runs } from '../../helpers/runs.ts';
import { estimatesOf, expectJsonSafe, expectNear } from '../estimates.ts';

interface Fit {
  betweenStudies: number;
  withinStudies: number;
  logLikelihood: number;
  mean: number;
  standardError: number;
}
interface ReferenceSet {
  name: string;
  study: number[];
  value: number[];
  variance: number[];
  correlation: number;
  restricted: Fit;
  full: Fit;
  robust: (Omit<Fit, 'logLikelihood'> & { degreesOfFreedom: number })[];
}
const read = (file: string) =>
  JSON.parse(readFileSync(new URL(`../../reference/${file}`, import.meta.url), 'utf8'));
const python = read('dependence-python.json') as { sets: ReferenceSet[] };
const r = read('dependence-r.json') as { sets: ReferenceSet[] };

const nested = (study: number[], value: number[], variance: number[]): Estimate[] =>
  estimatesOf(value, variance).map((estimate, i) => ({ ...estimate, study: `study-${study[i]}` }));

describe.each(python.sets.map((set, i) => [set.name, set, r.sets[i]!] as const))(
  '%s',
  (_name, set, fromR) => {
    const estimates = nested(set.study, set.value, set.variance);
    const covarianceWithinStudy = set.correlation;

    test.each(threeLevelEstimators)('three-level, %s', (estimator) => {
      const fit = fitThreeLevel(estimates, { estimator, covarianceWithinStudy });
      const key = estimator === 'maximum-likelihood' ? 'full' : 'restricted';
      expectClose(fit.logLikelihood, set[key].logLikelihood, 'specialFunctionTail');
      expectClose(fit.logLikelihood, fromR[key].logLikelihood, 'specialFunctionTail');
      expectClose(fit.mean.value, set[key].mean, 'otherLibrary');
      expectClose(fit.mean.standardError, set[key].standardError, 'otherLibrary');
      // The references search without derivatives: near a flat top they place a variance to about seven digits.
      expectNear(fit.components.betweenStudies, set[key].betweenStudies, 'otherLibrary', 0.01);
      expectNear(fit.components.withinStudies, set[key].withinStudies, 'otherLibrary', 0.01);
      expectNear(fit.components.betweenStudies, fromR[key].betweenStudies, 'otherLibrary', 0.1);
      expectNear(fit.components.withinStudies, fromR[key].withinStudies, 'otherLibrary', 0.1);
      // Defining equation: the score is zero where a variance is above zero and points down where it is zero.
      const point = likelihoodPoint(
        studyClusters(estimates, covarianceWithinStudy),
        fit.components,
        key === 'restricted',
      )!;
      for (const [variance, score] of [
        [fit.components.betweenStudies, point.score[0]],
        [fit.components.withinStudies, point.score[1]],
      ] as const) {
        if (variance > 0) expect(Math.abs(score)).toBeLessThanOrEqual(1e-7);
        else expect(score).toBeLessThanOrEqual(0);
      }
      expectJsonSafe(fit);
    });

    test('cluster-robust mean', () => {
      for (const robust of set.robust) {
        const found = clusterRobustMean(estimates, { working: robust, covarianceWithinStudy });
        expectClose(found.mean.value, robust.mean, 'specialFunction');
        expectClose(found.mean.standardError, robust.standardError, 'specialFunction');
        expectClose(found.degreesOfFreedom, robust.degreesOfFreedom, 'specialFunction');
        expectJsonSafe(found);
      }
    });
  },
);

test('one estimate per study: the three-level model is the two-level one, both by restricted likelihood', () => {
  fc.assert(
    fc.property(
      fc.array(
        fc.tuple(fc.double({ min: -3, max: 3, noNaN: true }), fc.double({ min: 0.05, max: 1, noNaN: true })),
        {
          minLength: 3,
          maxLength: 9,
        },
      ),
      (rows) => {
        const estimates = estimatesOf(
          rows.map(([value]) => value),
          rows.map(([, variance]) => variance),
        );
        const fit = fitThreeLevel(estimates);
        const pool = poolEstimates(estimates, { betweenStudyVariance: 'restricted-maximum-likelihood' });
        expectNear(
          fit.components.betweenStudies,
          pool.heterogeneity!.betweenStudyVariance,
          'otherLibrary',
          0.1,
        );
        expectNear(fit.mean.value, pool.mean!.value, 'otherLibrary', 0.1);
        expect(fit.components.withinStudies).toBe(0);
        expect(fit.cautions.map(({ code }) => code)).toContain('one-estimate-per-study');
      },
    ),
    { numRuns: runs(50) },
  );
});

test('splitting a study into two copies with fully shared error leaves the robust mean where it was', () => {
  // Correlation near one: two copies carry hardly more than one.
  const value = [0.2, 0.8, -0.1, 1.1];
  const variance = [0.1, 0.2, 0.15, 0.3];
  const single = clusterRobustMean(nested([0, 1, 2, 3], value, variance), {
    working: { betweenStudies: 0.1, withinStudies: 0 },
  });
  const doubled = clusterRobustMean(nested([0, 0, 1, 2, 3], [0.2, ...value], [0.1, ...variance]), {
    working: { betweenStudies: 0.1, withinStudies: 0 },
    covarianceWithinStudy: 1 - 1e-9,
  });
  expectClose(doubled.mean.value, single.mean.value, 'iterative');
  expectClose(doubled.mean.standardError, single.mean.standardError, 'otherLibrary');
});

test('with one estimate per study and equal weights the robust interval is the one-sample t interval', () => {
  const value = [0.2, 0.8, -0.1, 1.1, 0.4];
  const found = clusterRobustMean(
    nested(
      [0, 1, 2, 3, 4],
      value,
      value.map(() => 0.3),
    ),
    {
      working: { betweenStudies: 0, withinStudies: 0 },
    },
  );
  const mean = value.reduce((a, b) => a + b, 0) / 5;
  const deviation = Math.sqrt(value.reduce((sum, each) => sum + (each - mean) ** 2, 0) / 4);
  expectClose(found.mean.value, mean, 'identity');
  expectClose(found.mean.standardError, deviation / Math.sqrt(5), 'identity');
  expectClose(found.degreesOfFreedom, 4, 'specialFunction');
});

test('covariance through a shared arm', () => {
  // Var of the difference of two log odds ratios against one arm must not contain that arm.
  const arm = (events: number, total: number) => 1 / events + 1 / (total - events);
  const shared = { events: 10, total: 40 };
  const first = arm(5, 50) + arm(10, 40);
  const second = arm(8, 45) + arm(10, 40);
  expectClose(
    first + second - 2 * sharedArmCovariance('log-odds-ratio', shared),
    arm(5, 50) + arm(8, 45),
    'identity',
  );
  expectClose(sharedArmCovariance('log-risk-ratio', shared), 1 / 10 - 1 / 40, 'identity');
  expectClose(sharedArmCovariance('risk-difference', shared), (0.25 * 0.75) / 40, 'identity');
  expectClose(sharedArmCovariance('mean-difference', { standardDeviation: 6, total: 9 }), 4, 'identity');
  expect(() => sharedArmCovariance('log-odds-ratio', { events: 0, total: 9 })).toThrow(
    'events must be above 0 on the scale log-odds-ratio, received 0',
  );
});

test('misuse is refused with name, bound and value', () => {
  const estimates = nested([0, 0, 1], [1, 2, 3], [0.1, 0.1, 0.1]);
  expect(() => fitThreeLevel(estimates.slice(0, 2))).toThrow(
    'estimates must come from at least 2 studies, received 1',
  );
  expect(() => fitThreeLevel([])).toThrow('received 0');
  expect(() => fitThreeLevel(estimates, { covarianceWithinStudy: 1 })).toThrow(
    'correlation must lie between -1 and 1, received 1',
  );
  expect(() => fitThreeLevel(estimates, { level: 95 })).toThrow(
    'level must lie between 0 and 1, received 95',
  );
  expect(() => clusterRobustMean(estimates, { working: { betweenStudies: -1, withinStudies: 0 } })).toThrow(
    'working.betweenStudies must not be negative, received -1',
  );
});
