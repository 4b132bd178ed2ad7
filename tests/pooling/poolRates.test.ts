import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { rateScales } from '../../src/effects/analysisScale.ts';
import { notAComparison, poolBySite } from '../../src/pooling/poolBySite.ts';
import { meanIntervals, varianceEstimators } from '../../src/pooling/poolOptions.ts';
import { poolRates } from '../../src/pooling/poolRates.ts';
import { differMaterially } from '../../src/pooling/rateCautions.ts';
import { intervalGoesWith } from '../../src/pooling/resolvePoolOptions.ts';
import { describePooledRate, percentDigits } from '../../src/tables/rateText.ts';
import { expectClose, expectPrinted } from '../helpers/close.ts';
import { runs } from '../helpers/runs.ts';
import { armsOf, expectJsonSafe } from './estimates.ts';

const codes = (result: { cautions: readonly { code: string }[] }) => result.cautions.map(({ code }) => code);

/** Spiegelhalter DJ et al., BUGS Examples volume 1, Surgical: deaths among operations in 12 hospitals. */
const hospitals = armsOf([
  [0, 47],
  [18, 148],
  [8, 119],
  [46, 810],
  [8, 211],
  [13, 196],
  [9, 148],
  [31, 215],
  [14, 207],
  [8, 97],
  [29, 256],
  [24, 360],
]);

describe('surgical mortality in 12 hospitals', () => {
  test('both fits side by side', () => {
    const pooled = poolRates(hospitals, { zeroEvents: { addToEachCell: 0.5 } });
    // Maximum likelihood by lme4 glmer (R 4.2.2), digits to which its default optimiser has converged.
    expectPrinted(pooled.oneStep.mean, '-2.54396');
    expect(pooled.headline?.basis).toBe('two-step');
    expect(pooled.headline?.rate).toBe(pooled.twoStep.natural?.value);
    expect(pooled.events).toBe(208);
    expect(pooled.shoulders).toBe(2814);
    expect(codes(pooled)).toContain('correction-added');
    expect(codes(pooled)).not.toContain('one-step-differs');
    expect(pooled.methodsSentence).toContain('after adding 0.5 to each cell of 1 of the 12 estimates');
  });

  test('nothing is added to a count unless asked for', () => {
    const pooled = poolRates(hospitals);
    expect(pooled.twoStep.estimates).toHaveLength(11);
    expect(pooled.twoStep.leftOut).toHaveLength(1);
    expect(codes(pooled)).toContain('arms-left-out');
    expect(pooled.methodsSentence).toContain('leaving out 1 arm without a finite value on that scale');
    // The one-step model still has it.
    expectPrinted(pooled.oneStep.mean, '-2.54396');
  });
});

describe('no events anywhere', () => {
  const none = poolRates(
    armsOf([
      [0, 20],
      [0, 20],
      [0, 20],
      [0, 20],
      [0, 20],
    ]),
  );

  test('the answer is an exact upper limit over the combined shoulders', () => {
    expect(none.headline?.basis).toBe('exact');
    expect(none.headline?.rate).toBe(0);
    expect(none.headline?.interval.lower).toBe(0);
    // Exact two-sided upper limit for 0 of n: 1 - 0.025^(1/n), here 3.6 %.
    expectClose(none.headline?.interval.upper, 1 - 0.025 ** (1 / 100), 'specialFunctionTail');
    expect(none.headline?.prediction).toBeUndefined();
    expect(codes(none)).toContain('no-events');
    expect(none.oneStep.status).toBe('no-events');
    expect(describePooledRate(none)).toBe(
      'at most 3.6 % (exact interval 0 to 3.6), 5 studies, 100 shoulders, no events',
    );
    expect(none.methodsSentence).toContain('Clopper-Pearson');
  });

  test('also when a correction or another scale would have given a rate', () => {
    const arms = armsOf([
      [0, 20],
      [0, 31],
    ]);
    for (const options of [{ zeroEvents: { addToEachCell: 0.5 } }, { scale: 'arcsine' }] as const) {
      const pooled = poolRates(arms, options);
      expect(pooled.headline?.basis).toBe('exact');
      expectClose(pooled.headline?.interval.upper, 1 - 0.025 ** (1 / 51), 'specialFunctionTail');
    }
  });

  test('0 of 23: exact upper limit 14.8 %', () => {
    // Gombera RH et al. 2015: no deformity in 23 shoulders of each group; 14.8 % is 1 - 0.025^(1/23).
    expect(percentDigits(poolRates(armsOf([[0, 23]])).headline!.interval.upper)).toBe('15');
    expectClose(
      poolRates(armsOf([[0, 23]])).headline?.interval.upper,
      1 - 0.025 ** (1 / 23),
      'specialFunctionTail',
    );
  });

  test('all shoulders with the event: the mirror image', () => {
    const all = poolRates(
      armsOf([
        [20, 20],
        [31, 31],
      ]),
    );
    expect(all.headline?.rate).toBe(1);
    expect(all.headline?.interval.upper).toBe(1);
    expectClose(all.headline?.interval.lower, 0.025 ** (1 / 51), 'specialFunctionTail');
    expect(codes(all)).toContain('all-events');
    expect(describePooledRate(all)).toMatch(/^at least 93.0 %/);
  });
});

describe('when the two ways to pool differ', () => {
  test('rule: two per 100 apart, or beyond 1.5 times either way', () => {
    expect(differMaterially(0.1, 0.121, 0.02)).toBe(true);
    expect(differMaterially(0.1, 0.119, 0.02)).toBe(false);
    expect(differMaterially(0.004, 0.0061, 0.02)).toBe(true);
    expect(differMaterially(0.004, 0.0059, 0.02)).toBe(false);
    expect(differMaterially(0.996, 0.9939, 0.02)).toBe(true);
    expect(differMaterially(0, 0, 0.02)).toBe(false);
    expect(differMaterially(0, 0.001, 0.02)).toBe(true);
  });

  test('leaving out arms without events inflates the pool, and it says so', () => {
    const arms = armsOf([
      [0, 100],
      [0, 120],
      [0, 90],
      [4, 20],
      [0, 80],
      [3, 25],
    ]);
    const pooled = poolRates(arms);
    const caution = pooled.cautions.find(({ code }) => code === 'one-step-differs');
    expect(caution?.message).toMatch(/two-step pool gives 16.* one-step model/);
  });

  test('the protocol may set its own difference', () => {
    const arms = hospitals.slice(1);
    const gap = Math.abs(poolRates(arms).headline!.rate - poolRates(arms).oneStep.rate!);
    expect(codes(poolRates(arms, { materialDifference: gap * 1.01 }))).not.toContain('one-step-differs');
    expect(codes(poolRates(arms, { materialDifference: gap * 0.99 }))).toContain('one-step-differs');
  });
});

test('arms with none or all events only cannot be pooled on the logit scale, and stay visible', () => {
  const pooled = poolRates(
    armsOf([
      [0, 20],
      [20, 20],
    ]),
  );
  expect(pooled.headline).toBeUndefined();
  expect(codes(pooled)).toEqual(expect.arrayContaining(['nothing-to-pool', 'one-step-not-converged']));
  expect(pooled.methodsSentence).toContain('could not be pooled');
  expect(describePooledRate(pooled)).toBe('cannot be pooled, 2 studies, 40 shoulders, 20 events');
});

test('misuse names the option, the bound and the value received', () => {
  const arms = armsOf([[1, 20]]);
  expect(() => poolRates(arms, { scale: 'plain' } as never)).toThrow('scale must be one of raw, logit, log');
  expect(() => poolRates(arms, { zeroEvents: 'drop' } as never)).toThrow('received "drop"');
  expect(() => poolRates(arms, { zeroEvents: { addToEachCell: 0 } })).toThrow('received {"addToEachCell":0}');
  expect(() => poolRates(arms, { materialDifference: 2 })).toThrow('at most 1, received 2');
  expect(() => poolRates(arms, { points: 7 } as never)).toThrow('unknown option "points"');
  expect(() => poolRates(armsOf([[21, 20]]))).toThrow(
    'events of Place 0 2020 must be a whole number from 0 to 20, received 21',
  );
  expect(() => poolRates(armsOf([[0.5, 20]]))).toThrow('received 0.5');
});

describe('any valid arms, on every scale', () => {
  const arm = fc
    .oneof(fc.integer({ min: 1, max: 60 }), fc.constantFrom(1, 1083, 1_000_000))
    .chain((total) =>
      fc.tuple(
        fc.oneof(
          fc.integer({ min: 0, max: Math.min(total, 3) }),
          fc.integer({ min: 0, max: total }),
          fc.constant(total),
        ),
        fc.constant(total),
      ),
    );
  // Every scale with every interval and with every estimator it goes with; a common effect on every scale.
  const options = rateScales.flatMap((scale) => [
    ...meanIntervals.map((interval) => ({
      scale,
      interval,
      betweenStudyVariance: intervalGoesWith(interval, 'random-effects', 'dersimonian-laird')
        ? ('dersimonian-laird' as const)
        : ('maximum-likelihood' as const),
      model: 'random-effects' as const,
    })),
    ...varianceEstimators.map((betweenStudyVariance) => ({
      scale,
      interval: 'wald' as const,
      betweenStudyVariance,
      model: 'random-effects' as const,
    })),
    {
      scale,
      interval: 'wald' as const,
      betweenStudyVariance: 'dersimonian-laird' as const,
      model: 'common-effect' as const,
    },
  ]);
  test.each(options)('$scale, $interval, $betweenStudyVariance, $model', (choice) => {
    fc.assert(
      fc.property(
        fc.array(arm, { maxLength: 7 }),
        fc.constantFrom('leave-out' as const, { addToEachCell: 0.5 }),
        (counts, zeroEvents) => {
          const pooled = poolRates(armsOf(counts), { ...choice, zeroEvents });
          expectJsonSafe(pooled);
          expect(pooled.methodsSentence).toMatch(/^[A-Z].*tenosite.*\.$/);
          expect(pooled.methodsSentence).not.toMatch(/undefined|NaN|Infinity|\s{2}|,,/);
          expect(describePooledRate(pooled)).not.toMatch(/undefined|NaN|Infinity/);
          if (!pooled.headline) return;
          const { rate, interval, prediction } = pooled.headline;
          const slack = 1e-12;
          expect(interval.lower).toBeGreaterThanOrEqual(0);
          expect(interval.upper).toBeLessThanOrEqual(1);
          expect(interval.lower).toBeLessThanOrEqual(rate + slack);
          expect(interval.upper).toBeGreaterThanOrEqual(rate - slack);
          if (prediction) expect(prediction.upper).toBeGreaterThanOrEqual(rate - slack);
        },
      ),
      { numRuns: runs(12) },
    );
  });
});

describe('poolBySite', () => {
  const arms = [
    ...armsOf(
      [
        [1, 30],
        [2, 40],
      ],
      'subpectoral',
    ),
    ...armsOf([[9, 40]], 'tenotomy'),
    ...armsOf([[1, 12]], 'soft-tissue'),
    ...armsOf([[0, 9]], 'unclassified'),
  ];

  test('four sites in order, the rest beside them, and a statement that this is no comparison', () => {
    const pools = poolBySite(arms);
    expect(pools.sites.map(({ site }) => site)).toEqual([
      'top-of-groove',
      'suprapectoral',
      'subpectoral',
      'tenotomy',
    ]);
    expect(pools.sites.map(({ pool }) => pool.shoulders)).toEqual([0, 0, 70, 40]);
    expect(codes(pools.sites[0]!.pool)).toContain('nothing-to-pool');
    expect(describePooledRate(pools.sites[0]!.pool)).toBe('no arm reports this');
    expect(pools.outside.map(({ site, arms: outside }) => [site, outside.length])).toEqual([
      ['soft-tissue', 1],
      ['unclassified', 1],
    ]);
    expect(pools.notAComparison).toBe(notAComparison);
    expect(notAComparison).toMatch(/^Not a randomised comparison/);
    expectJsonSafe(pools);
  });

  test('a site pool is the pool of its own arms', () => {
    const own = arms.filter(({ site }) => site === 'subpectoral');
    expect(poolBySite(arms).sites[2]!.pool).toEqual(poolRates(own));
  });

  test('an unknown site is refused', () => {
    const bad = [{ ...arms[0]!, site: 'mid-groove' }] as never;
    expect(() => poolBySite(bad)).toThrow('received mid-groove');
  });
});

describe('rates in print', () => {
  test('one line says rate, interval, next study and basis', () => {
    const pooled = poolRates(hospitals, { zeroEvents: { addToEachCell: 0.5 } });
    const { rate, interval, prediction } = pooled.headline!;
    expect(describePooledRate(pooled)).toBe(
      `${percentDigits(rate)} % (${percentDigits(interval.lower)} to ${percentDigits(interval.upper)}; next study ` +
        `${percentDigits(prediction!.lower)} to ${percentDigits(prediction!.upper)}), 12 studies, 2,814 shoulders, 208 events`,
    );
  });
});
