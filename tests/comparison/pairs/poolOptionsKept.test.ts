import { describe, expect, it } from 'vitest';
import { fitMetaRegression } from '../../../src/comparison/moderators/fitMetaRegression.ts';
import { comparePair } from '../../../src/comparison/pairs/comparePairs.ts';
import { contrastSingleArms } from '../../../src/comparison/pairs/singleArmContrast.ts';
import { subgroupDifferences } from '../../../src/comparison/pairs/subgroupDifferences.ts';
import { chiSquareUpperTail } from '../../../src/numerics/distributions.ts';
import { poolBySite } from '../../../src/pooling/poolBySite.ts';
import { meanIntervals, varianceEstimators } from '../../../src/pooling/poolOptions.ts';
import { poolRates } from '../../../src/pooling/poolRates.ts';
import { expectClose } from '../../helpers/close.ts';
import { armsOf } from '../network/examples.ts';

const arms = armsOf([
  ['a', 'subpectoral', 3, 79],
  ['b', 'subpectoral', 9, 60],
  ['c', 'subpectoral', 2, 120],
  ['d', 'subpectoral', 14, 90],
  ['e', 'tenotomy', 20, 81],
  ['f', 'tenotomy', 9, 41],
  ['g', 'tenotomy', 30, 60],
  ['h', 'tenotomy', 11, 110],
  ['i', 'suprapectoral', 4, 30],
  ['j', 'suprapectoral', 12, 35],
  ['k', 'suprapectoral', 1, 50],
]);

// The test between sites asks of the pools that are shown; with another estimator it would ask of pools nobody sees.
describe.each(varianceEstimators)('single arms pooled with %s', (betweenStudyVariance) => {
  const contrast = contrastSingleArms(poolBySite(arms, { betweenStudyVariance, interval: 'hartung-knapp' }));
  const pooled = contrast.pools.sites.filter(({ pool }) => pool.twoStep.mean !== undefined);

  it('the test between sites compares the pools that are shown', () => {
    const { groups, q, pValue } = contrast.test!.separateVariances;
    expect(groups.map(({ name }) => name)).toEqual(pooled.map(({ name }) => name));
    for (const [i, { pool }] of pooled.entries()) {
      const { mean, heterogeneity } = pool.twoStep;
      expectClose(groups[i]!.betweenStudyVariance, heterogeneity!.betweenStudyVariance, 'identity');
      expectClose(groups[i]!.value, mean!.value, 'identity');
      expectClose(groups[i]!.interval.upper, mean!.interval.upper, 'identity');
    }
    // Borenstein et al. 2009, chapter 19: Q between from the subgroups' means and their standard errors.
    const weights = pooled.map(({ pool: { twoStep } }) =>
      twoStep.estimates.reduce(
        (sum, { variance }) => sum + 1 / (variance + twoStep.heterogeneity!.betweenStudyVariance),
        0,
      ),
    );
    const means = pooled.map(({ pool }) => pool.twoStep.mean!.value);
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    const centre = means.reduce((sum, mean, i) => sum + weights[i]! * mean, 0) / total;
    const between = means.reduce((sum, mean, i) => sum + weights[i]! * (mean - centre) ** 2, 0);
    expectClose(q, between, 'specialFunction');
    expectClose(pValue, chiSquareUpperTail(between, 2), 'specialFunctionTail');
  });

  it('the shared variance is that of a regression on the site by the same estimator', () => {
    const rows = pooled.flatMap(({ name, pool }) =>
      pool.twoStep.estimates.map((estimate) => ({ estimate, covariates: { site: name } })),
    );
    const regression = fitMetaRegression(rows, [{ id: 'site', name: 'Site', kind: 'categorical' }], {
      betweenStudyVariance,
    });
    for (const group of contrast.test!.commonVariance.groups)
      expectClose(group.betweenStudyVariance, regression.fit!.residual.betweenStudyVariance, 'iterative');
  });
});

describe('other options of the pools', () => {
  it('pools of a common effect are compared without a variance between studies', () => {
    const { test } = contrastSingleArms(poolBySite(arms, { model: 'common-effect' }));
    expectClose(test!.separateVariances.q, test!.commonEffect.q, 'identity');
    expectClose(test!.commonVariance.q, test!.commonEffect.q, 'identity');
  });

  // Zou GY, Donner A, Stat Med 2008;27:1693-1702: limits of a difference from the limits of its two parts.
  it.each(meanIntervals)('the ratio of odds has limits made of the pools own %s limits', (interval) => {
    const contrast = contrastSingleArms(
      poolBySite(arms, { betweenStudyVariance: 'maximum-likelihood', interval }),
    );
    const difference = contrast.differences.find(
      ({ treatment, comparator }) => treatment === 'subpectoral' && comparator === 'tenotomy',
    )!;
    const meanAt = (site: string) =>
      contrast.pools.sites.find((each) => each.site === site)!.pool.twoStep.mean!;
    const [one, other] = [meanAt('subpectoral'), meanAt('tenotomy')];
    expectClose(
      Math.log(difference.oddsRatio!.interval.upper) - Math.log(difference.oddsRatio!.value),
      Math.hypot(one.interval.upper - one.value, other.value - other.interval.lower),
      'specialFunction',
    );
  });

  it('one estimate in a subgroup has no variance between studies, unlike one of nought', () => {
    const estimates = poolRates(arms.filter(({ site }) => site === 'tenotomy')).twoStep.estimates;
    const { separateVariances, commonVariance } = subgroupDifferences([
      { name: 'A', estimates: estimates.slice(0, 1) },
      { name: 'B', estimates: estimates.slice(1) },
    ]);
    expect(
      separateVariances.groups.map(({ betweenStudyVariance }) => betweenStudyVariance === undefined),
    ).toEqual([true, false]);
    expect(commonVariance.groups[0]!.betweenStudyVariance).toBeGreaterThan(0);
  });

  it('the pooled risk of the comparator arms is pooled as the pair is', () => {
    const both = armsOf([
      ['a', 'subpectoral', 3, 79],
      ['a', 'tenotomy', 20, 81],
      ['b', 'subpectoral', 2, 40],
      ['b', 'tenotomy', 9, 400],
      ['c', 'subpectoral', 2, 42],
      ['c', 'tenotomy', 19, 60],
    ]);
    for (const betweenStudyVariance of varianceEstimators) {
      const { pair } = comparePair(both, 'subpectoral', 'tenotomy', { betweenStudyVariance });
      const own = poolRates(
        both.filter(({ site }) => site === 'tenotomy'),
        { betweenStudyVariance },
      );
      expectClose(pair.absolute[0]!.baselineRisk, own.headline!.rate, 'identity');
    }
  });
});
