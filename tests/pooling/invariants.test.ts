// What must hold for every estimator, interval, prediction and scale in the exported lists, and for awkward data.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { analysisScales } from '../../src/effects/analysisScale.ts';
import type { Estimate } from '../../src/effects/estimate.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import {
  meanIntervals,
  type PoolOptions,
  predictionIntervals,
  varianceEstimators,
} from '../../src/pooling/poolOptions.ts';
import { intervalGoesWith } from '../../src/pooling/resolvePoolOptions.ts';
import { expectClose } from '../helpers/close.ts';
import { estimatesOf, expectJsonSafe, expectNear } from './estimates.ts';

// Every estimator with every interval it goes with, and every prediction; a common effect with every interval.
const combinations: PoolOptions[] = [
  ...varianceEstimators.flatMap((betweenStudyVariance) =>
    meanIntervals.map((interval) => ({ model: 'random-effects' as const, betweenStudyVariance, interval })),
  ),
  ...meanIntervals.map((interval) => ({
    model: 'common-effect' as const,
    betweenStudyVariance: 'dersimonian-laird' as const,
    interval,
  })),
]
  .filter(({ model, betweenStudyVariance, interval }) =>
    intervalGoesWith(interval, model, betweenStudyVariance),
  )
  .map((options, index) => ({
    ...options,
    prediction: predictionIntervals[index % predictionIntervals.length]!,
  }))
  .map((options) =>
    options.prediction === 'bootstrap' ? { ...options, bootstrap: { draws: 100, seed: 1 } } : options,
  );
/** Runs of a property. Each combination draws its own data, or all would look at the same few. */
const runsOf = (options: PoolOptions, numRuns: number): fc.Parameters<unknown> => {
  const { seed } = fc.readConfigureGlobal() ?? {};
  return { numRuns, ...(seed === undefined ? {} : { seed: seed + combinations.indexOf(options) }) };
};

const row = fc.record({
  value: fc.double({ min: -4, max: 4, noNaN: true }),
  variance: fc.double({ min: 1e-3, max: 3, noNaN: true }),
});
const rows = fc.array(row, { minLength: 1, maxLength: 12 });
type Rows = { value: number; variance: number }[];
const from = (data: Rows, scale: Estimate['scale'] = 'plain') =>
  estimatesOf(
    data.map(({ value }) => value),
    data.map(({ variance }) => variance),
    scale,
  );

/** Numbers of two results side by side, after mapping those of the first. */
function same(
  a: ReturnType<typeof poolEstimates>,
  b: ReturnType<typeof poolEstimates>,
  value: (x: number) => number,
  square: (x: number) => number,
  size: number,
): void {
  const pairs: [number | undefined, number | undefined, (x: number) => number, number][] = [
    [a.mean?.value, b.mean?.value, value, size],
    [a.mean?.interval.lower, b.mean?.interval.lower, value, size],
    [a.mean?.interval.upper, b.mean?.interval.upper, value, size],
    [a.prediction?.lower, b.prediction?.lower, value, size],
    [a.prediction?.upper, b.prediction?.upper, value, size],
    [a.heterogeneity?.q, b.heterogeneity?.q, (x) => x, 1],
    [a.heterogeneity?.iSquared, b.heterogeneity?.iSquared, (x) => x, 1],
    [a.heterogeneity?.betweenStudyVariance, b.heterogeneity?.betweenStudyVariance, square, square(1e-3)],
    [
      a.heterogeneity?.betweenStudyVarianceInterval?.upper,
      b.heterogeneity?.betweenStudyVarianceInterval?.upper,
      square,
      square(1e-3),
    ],
  ];
  for (const [x, y, map, scale] of pairs) {
    if (x === undefined) expect(y).toBeUndefined();
    else expectNear(y, map(x), 'iterative', scale);
  }
}

describe.each(combinations)('$model, $betweenStudyVariance, $interval, $prediction', (options) => {
  test('the order of studies does not matter', () => {
    fc.assert(
      fc.property(rows, (data) => {
        same(
          poolEstimates(from(data), options),
          poolEstimates(from([...data].reverse()), options),
          (x) => x,
          (x) => x,
          1,
        );
      }),
      runsOf(options, 25),
    );
  });

  test('a change of unit carries through: values by c, variances by c²', () => {
    fc.assert(
      fc.property(rows, fc.constantFrom(1e-3, 0.1, 10, 1e4), (data, c) => {
        const scaled = data.map(({ value, variance }) => ({ value: value * c, variance: variance * c * c }));
        same(
          poolEstimates(from(data), options),
          poolEstimates(from(scaled), options),
          (x) => x * c,
          (x) => x * c * c,
          c,
        );
      }),
      runsOf(options, 25),
    );
  });

  test('a shift of all values shifts the mean and nothing else; a change of sign mirrors it', () => {
    fc.assert(
      fc.property(
        fc.array(row, { minLength: 1, maxLength: 12 }),
        fc.integer({ min: -1000, max: 1000 }),
        (data, shift) => {
          // Values on a grid of 1/1024 so that the shifted ones are exact.
          const grid = data.map(({ value, variance }) => ({
            value: Math.round(value * 1024) / 1024,
            variance,
          }));
          const shifted = grid.map(({ value, variance }) => ({ value: value + shift, variance }));
          const result = poolEstimates(from(grid), options);
          same(
            result,
            poolEstimates(from(shifted), options),
            (x) => x + shift,
            (x) => x,
            1000,
          );
          const mirrored = poolEstimates(
            from(grid.map(({ value, variance }) => ({ value: -value, variance }))),
            options,
          );
          expectNear(mirrored.mean?.value, -result.mean!.value, 'specialFunction', 1);
          expectClose(mirrored.mean?.interval.upper, -result.mean!.interval.lower, 'specialFunction', {
            ofSize: 1,
          });
        },
      ),
      runsOf(options, 100),
    );
  });

  test('names of studies do not matter', () => {
    fc.assert(
      fc.property(rows, (data) => {
        const estimates = from(data);
        const renamed = estimates.map((estimate, i) => ({
          ...estimate,
          study: `other-${99 - i}`,
          label: `X ${i}`,
        }));
        same(
          poolEstimates(estimates, options),
          poolEstimates(renamed, options),
          (x) => x,
          (x) => x,
          1,
        );
      }),
      runsOf(options, 25),
    );
  });

  test('equal studies: their value, no variation, all weight shared', () => {
    for (const count of [2, 3, 7]) {
      const result = poolEstimates(estimatesOf(Array(count).fill(0.7), Array(count).fill(0.09)), options);
      expect(result.mean!.value).toBe(0.7);
      expectClose(result.mean!.standardError, 0.3 / Math.sqrt(count), 'identity');
      expect(result.heterogeneity!.betweenStudyVariance).toBe(0);
      expect(result.heterogeneity!.q).toBe(0);
      for (const { weight } of result.estimates) expectClose(weight, 1 / count, 'identity');
      expect(result.cautions.map(({ code }) => code)).toContain('identical-estimates');
    }
  });

  test('one study: itself', () => {
    const result = poolEstimates(estimatesOf([0.7], [0.09]), options);
    expect(result.mean!.value).toBe(0.7);
    expectClose(result.mean!.interval.lower, 0.7 - 1.959963984540054 * 0.3, 'identity');
    expect(result.mean!.intervalMethod).toBe('wald');
    expect(result.heterogeneity).toBeUndefined();
    expect(result.prediction).toBeUndefined();
    expect(result.cautions.map(({ code }) => code)).toContain('one-study');
  });

  test('weights sum to one, the mean lies among the values, intervals around the mean', () => {
    fc.assert(
      fc.property(rows, (data) => {
        const { estimates, mean, prediction, natural } = poolEstimates(from(data, 'logit'), options);
        expectClose(
          estimates.reduce((sum, { weight }) => sum + weight, 0),
          1,
          'specialFunction',
        );
        const values = data.map(({ value }) => value);
        const slack = 1e-12;
        expect(mean!.value).toBeGreaterThanOrEqual(Math.min(...values) - slack);
        expect(mean!.value).toBeLessThanOrEqual(Math.max(...values) + slack);
        expect(mean!.interval.lower).toBeLessThanOrEqual(mean!.value);
        expect(mean!.interval.upper).toBeGreaterThanOrEqual(mean!.value);
        if (prediction) {
          expect(prediction.lower).toBeLessThanOrEqual(mean!.value);
          expect(natural!.prediction!.lower).toBeGreaterThanOrEqual(0);
          expect(natural!.prediction!.upper).toBeLessThanOrEqual(1);
        }
      }),
      runsOf(options, 25),
    );
  });

  test.each(analysisScales)(
    'awkward but valid data on the %s scale give finite, JSON-safe results',
    (scale) => {
      const hostile = fc.record({
        value: fc.oneof(
          fc.double({ min: -5, max: 5, noNaN: true }),
          fc.constantFrom(0, 0.25, 1e9, -1e9, 1e9 + 1, 1e-300, -40),
        ),
        variance: fc.oneof(
          fc.double({ min: 1e-8, max: 1e4, noNaN: true }),
          fc.constantFrom(1e-8, 1e4, 0.1, 1e-12),
        ),
      });
      fc.assert(
        fc.property(
          fc.array(hostile, { maxLength: 6 }),
          fc.constantFrom(0.5, 0.95, 0.9999),
          fc.integer({ min: 1, max: 3 }),
          (data, level, perStudy) => {
            const estimates = from(data, scale).map((estimate, i) => ({
              ...estimate,
              study: `study-${Math.floor(i / perStudy)}`,
            }));
            const result = poolEstimates(estimates, { ...options, level, scale });
            expectJsonSafe(result);
            expect(result.methodsSentence).toMatch(/^[A-Z].*tenosite.*\.$/);
            expect(result.methodsSentence).not.toMatch(/undefined|NaN|Infinity|\s{2}/);
          },
        ),
        runsOf(options, 60),
      );
    },
  );
});

describe('awkward pools with a known answer', () => {
  test('values offset by 1e9 keep their scatter', () => {
    const values = [0.5, 1.25, -0.25, 2];
    const variances = [0.25, 0.5, 0.125, 1];
    const near = poolEstimates(estimatesOf(values, variances));
    const far = poolEstimates(
      estimatesOf(
        values.map((value) => value + 1e9),
        variances,
      ),
    );
    expectClose(
      far.heterogeneity!.betweenStudyVariance,
      near.heterogeneity!.betweenStudyVariance,
      'identity',
    );
    expectClose(far.mean!.standardError, near.mean!.standardError, 'identity');
    expectClose(far.mean!.value - 1e9, near.mean!.value, 'otherLibrary');
  });

  test('5,000 studies drawn alike pool to their mean', () => {
    const values = Array.from({ length: 5000 }, (_, i) => (i % 2 === 0 ? 1 : 2));
    const result = poolEstimates(
      estimatesOf(
        values,
        values.map(() => 0.1),
      ),
    );
    expectClose(result.mean!.value, 1.5, 'specialFunction');
    // Sample variance 0.25 * 5000 / 4999.
    expectClose(
      result.heterogeneity!.betweenStudyVariance,
      (0.25 * 5000) / 4999 - 0.1,
      'specialFunctionTail',
    );
    expectJsonSafe(result);
  });

  test('between-study variance of zero: random and common effect are the same mean', () => {
    const estimates = estimatesOf([0.1, 0.12, 0.09, 0.11], [0.2, 0.1, 0.3, 0.2]);
    const random = poolEstimates(estimates);
    const common = poolEstimates(estimates, { model: 'common-effect' });
    expect(random.heterogeneity!.betweenStudyVariance).toBe(0);
    expect(random.mean).toEqual(common.mean);
    expect(common.prediction).toBeUndefined();
  });
});
