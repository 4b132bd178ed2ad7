import { describe, expect, it } from 'vitest';
import { fitMetaRegression } from '../../src/comparison/moderators/fitMetaRegression.ts';
import { regressArms } from '../../src/comparison/moderators/regressArms.ts';
import { subgroupDifferences } from '../../src/comparison/pairs/subgroupDifferences.ts';
import type { Estimate } from '../../src/effects/estimate.ts';
import { rateInterval, rateIntervalMethods } from '../../src/effects/rateInterval.ts';
import { posteriorNormalNormal } from '../../src/pooling/bayesian/posteriorNormalNormal.ts';
import { clusterRobustMean } from '../../src/pooling/dependence/clusterRobust.ts';
import { fitThreeLevel } from '../../src/pooling/dependence/threeLevel.ts';
import { fitBinomialNormal } from '../../src/pooling/fitBinomialNormal.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { predictionIntervals } from '../../src/pooling/poolOptions.ts';
import { poolRates } from '../../src/pooling/poolRates.ts';
import { shouldersNeeded } from '../../src/robustness/claims/shouldersNeeded.ts';
import { cumulativePool } from '../../src/robustness/influence/cumulative.ts';
import { influence } from '../../src/robustness/influence/influence.ts';
import { leaveOneOut } from '../../src/robustness/influence/leaveOneOut.ts';
import { beggMazumdarTest } from '../../src/robustness/smallStudies/beggMazumdarTest.ts';
import { eggerTest } from '../../src/robustness/smallStudies/regressionTests.ts';
import { selectionModel } from '../../src/robustness/smallStudies/selectionModel.ts';
import { trimAndFill } from '../../src/robustness/smallStudies/trimAndFill.ts';
import { subsetCloud } from '../../src/robustness/subsets/subsetCloud.ts';
import { armsOf } from '../comparison/network/examples.ts';
import { estimatesOf } from './estimates.ts';

const rows = (estimates: readonly Estimate[]) => estimates.map((estimate) => ({ estimate, covariates: {} }));

const takesEstimates: Readonly<Record<string, (estimates: readonly Estimate[]) => unknown>> = {
  poolEstimates: (estimates) => poolEstimates(estimates),
  leaveOneOut: (estimates) => leaveOneOut(estimates),
  influence: (estimates) => influence(estimates),
  cumulativePool: (estimates) => cumulativePool(estimates, 'precision'),
  subsetCloud: (estimates) => subsetCloud(estimates),
  eggerTest: (estimates) => eggerTest(estimates, { force: true }),
  beggMazumdarTest: (estimates) => beggMazumdarTest(estimates, { force: true }),
  trimAndFill: (estimates) => trimAndFill(estimates, { force: true }),
  selectionModel: (estimates) => selectionModel(estimates, { favoured: 'positive', force: true } as never),
  fitThreeLevel: (estimates) => fitThreeLevel(estimates),
  clusterRobustMean: (estimates) =>
    clusterRobustMean(estimates, { working: { betweenStudies: 0.1, withinStudies: 0 } }),
  posteriorNormalNormal: (estimates) =>
    posteriorNormalNormal(estimates, { deviationPrior: { kind: 'half-normal', scale: 1 } } as never),
  subgroupDifferences: (estimates) => subgroupDifferences([{ name: 'A', estimates }]),
  fitMetaRegression: (estimates) => fitMetaRegression(rows(estimates), []),
  regressArms: (estimates) => regressArms(rows(estimates), []),
};

// What a spreadsheet reader, a JSON file or a form gives where a number is meant.
const notNumbers = ['1', '0.04', '', ' ', null, undefined, true, [1], Number.NaN, Number.POSITIVE_INFINITY];

describe.each(Object.keys(takesEstimates))('%s', (name) => {
  it.each(['value', 'variance'] as const)('refuses a %s that is not a number, by name', (field) => {
    for (const wrong of notNumbers) {
      const estimates = estimatesOf([0.1, 0.5, -0.2, 0.9], [0.1, 0.2, 0.1, 0.3]).map((estimate, i) =>
        i === 2 ? ({ ...estimate, [field]: wrong } as Estimate) : estimate,
      );
      expect(() => takesEstimates[name]!(estimates), `${field} ${JSON.stringify(wrong)}`).toThrow(
        new RegExp(`${field} of ${estimates[2]!.label}.*received`),
      );
    }
  });
});

describe('a text is told from a number in the message', () => {
  it('as it was received', () => {
    const estimates = estimatesOf([0.1], [0.2]).map((estimate) => ({ ...estimate, variance: '1' as never }));
    expect(() => poolEstimates(estimates)).toThrow(/received "1"/);
  });
});

describe('a bootstrap prediction', () => {
  const sets = [
    estimatesOf([0, 0.9, 2, 0.3, -0.4], [0.04, 0.09, 0.14, 0.19, 0.24]),
    estimatesOf([-1.2, 0.3, 0.25], [0.5, 0.02, 0.3]),
    estimatesOf([3, 3.1, 2.9, 3.05, 9], [0.1, 0.1, 0.1, 0.1, 4]),
  ];
  it.each([1e-9, 1e-6, 1e-3, 0.01, 0.1, 0.5, 0.95, 0.999])('at level %d holds the mean', (level) => {
    for (const estimates of sets)
      for (const prediction of predictionIntervals) {
        const pool = poolEstimates(estimates, { prediction, level });
        expect(pool.prediction!.lower).toBeLessThanOrEqual(pool.mean!.value);
        expect(pool.prediction!.upper).toBeGreaterThanOrEqual(pool.mean!.value);
      }
  });

  it('says when a limit lies beyond its draws', () => {
    const codes = (level: number, draws: number) =>
      poolEstimates(sets[0]!, { prediction: 'bootstrap', level, bootstrap: { draws, seed: 1 } }).cautions.map(
        ({ code }) => code,
      );
    expect(codes(0.9999999, 5000)).toContain('few-bootstrap-draws');
    expect(codes(0.99, 199)).toContain('few-bootstrap-draws');
    expect(codes(0.99, 201)).not.toContain('few-bootstrap-draws');
  });
});

describe('a total too large for exact limits', () => {
  const total = 2_000_000_000;
  it.each(rateIntervalMethods)('%s names the total', (method) => {
    for (const events of [0, 3, total - 1, total])
      expect(() => rateInterval({ events, total }, { method })).toThrow(
        /total must be at most 999999999, received 2000000000/,
      );
    expect(rateInterval({ events: 3, total: 999_999_999 }, { method }).upper).toBeGreaterThan(0);
  });

  it('in pools and models of counts', () => {
    expect(() => fitBinomialNormal([{ events: 3, total }])).toThrow(/total of count 1 must be at most/);
    expect(() => poolRates(armsOf([['a', 'tenotomy', 0, total]]))).toThrow(/total of .* must be at most/);
  });

  it('and arms that exceed it together only', () => {
    const arms = armsOf([
      ['a', 'tenotomy', 0, 900_000_000],
      ['b', 'tenotomy', 0, 900_000_000],
    ]);
    expect(() => poolRates(arms)).toThrow(/total must be at most 999999999, received 1800000000/);
  });

  it('shoulders needed: the events are named', () => {
    expect(() => shouldersNeeded(5000, 1e-6)).toThrow(/events must be .*received 5000/);
    expect(shouldersNeeded(500, 1e-6)).toBeGreaterThan(500_000_000);
  });
});
