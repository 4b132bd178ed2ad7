// Answers put back into the equations that define them, for every member of the exported lists.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chiSquareQuantile } from '../../src/numerics/distributions.ts';
import { meanIntervalMethods } from '../../src/pooling/meanIntervalMethods.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { pooledSample, weightedMean } from '../../src/pooling/pooledSample.ts';
import { meanIntervals, predictionIntervals, varianceEstimators } from '../../src/pooling/poolOptions.ts';
import { predictionIntervalMethods } from '../../src/pooling/predictionIntervalMethods.ts';
import { intervalGoesWith } from '../../src/pooling/resolvePoolOptions.ts';
import { varianceEstimatorMethods } from '../../src/pooling/varianceEstimatorMethods.ts';
import { expectClose } from '../helpers/close.ts';
import { runs } from '../helpers/runs.ts';
import { estimatesOf, expectNear } from './estimates.ts';

/** Two to fifteen studies whose values scatter. */
const studies = fc
  .array(
    fc.record({
      value: fc.double({ min: -3, max: 3, noNaN: true }),
      variance: fc.double({ min: 1e-3, max: 2, noNaN: true }),
    }),
    { minLength: 2, maxLength: 15 },
  )
  .filter((rows) => new Set(rows.map(({ value }) => value)).size > 1);
const levels = fc.constantFrom(0.8, 0.95, 0.99);

const pooledFrom = (
  rows: { value: number; variance: number }[],
  options: Parameters<typeof poolEstimates>[1],
) =>
  poolEstimates(
    estimatesOf(
      rows.map(({ value }) => value),
      rows.map(({ variance }) => variance),
    ),
    options,
  );

/** Weighted squares around the weighted mean, written out. */
function generalisedQ(rows: { value: number; variance: number }[], between: number): number {
  const weights = rows.map(({ variance }) => 1 / (variance + between));
  const sum = weights.reduce((a, b) => a + b, 0);
  const mean = rows.reduce((a, { value }, i) => a + weights[i]! * value, 0) / sum;
  return rows.reduce((a, { value }, i) => a + weights[i]! * (value - mean) ** 2, 0);
}

test('every listed method has an entry that names itself and its source', () => {
  for (const [list, entries] of [
    [varianceEstimators, varianceEstimatorMethods],
    [meanIntervals, meanIntervalMethods],
    [predictionIntervals, predictionIntervalMethods],
  ] as const) {
    expect(Object.keys(entries)).toEqual([...list]);
    for (const id of list) {
      const entry = (entries as Record<string, { id: string; name: string; source: string }>)[id]!;
      expect(entry.id).toBe(id);
      expect(entry.name.length).toBeGreaterThan(3);
      expect(entry.source).toMatch(/\d{4}/);
    }
  }
});

test('Q-profile limits put back into the generalised Q give its chi-square quantiles', () => {
  fc.assert(
    fc.property(studies, levels, (rows, level) => {
      const { heterogeneity } = pooledFrom(rows, { level });
      const interval = heterogeneity!.betweenStudyVarianceInterval;
      const df = rows.length - 1;
      const smallest = chiSquareQuantile((1 - level) / 2, df);
      const largest = chiSquareQuantile((1 + level) / 2, df);
      if (interval === undefined) {
        expect(heterogeneity!.q).toBeLessThanOrEqual(smallest);
        return;
      }
      expectClose(generalisedQ(rows, interval.upper), smallest, 'specialFunctionTail');
      if (interval.lower > 0) expectClose(generalisedQ(rows, interval.lower), largest, 'specialFunctionTail');
      else expect(heterogeneity!.q).toBeLessThanOrEqual(largest * (1 + 1e-12));
    }),
    { numRuns: runs(400) },
  );
});

test('DerSimonian-Laird: the expected Q at the estimate equals the Q seen', () => {
  fc.assert(
    fc.property(studies, (rows) => {
      const { q, betweenStudyVariance } = pooledFrom(rows, {}).heterogeneity!;
      if (betweenStudyVariance === 0) {
        expect(q).toBeLessThanOrEqual((rows.length - 1) * (1 + 1e-12));
        return;
      }
      // E(Q) = Σ w (v + τ²) - Σ w² (v + τ²) / Σ w with w = 1 / v.
      const w = rows.map(({ variance }) => 1 / variance);
      const sum = w.reduce((a, b) => a + b, 0);
      const expected = rows.reduce(
        (a, { variance }, i) => a + w[i]! * (variance + betweenStudyVariance) * (1 - w[i]! / sum),
        0,
      );
      expectClose(expected, q, 'specialFunctionTail');
    }),
  );
});

describe('interval and test are one: at a limit of the interval the p-value is 1 - level', () => {
  test.each(meanIntervals)('%s', (id) => {
    const method = meanIntervalMethods[id];
    fc.assert(
      fc.property(studies, levels, (rows, level) => {
        const { mean, heterogeneity } = pooledFrom(rows, {
          interval: id,
          level,
          ...(intervalGoesWith(id, 'random-effects', 'dersimonian-laird')
            ? {}
            : { betweenStudyVariance: 'maximum-likelihood' as const }),
        });
        if (mean!.intervalMethod !== id) return;
        const sample = pooledSample(
          Float64Array.from(rows, ({ value }) => value),
          Float64Array.from(rows, ({ variance }) => variance),
        );
        const at = weightedMean(sample, heterogeneity!.betweenStudyVariance);
        // Limits are taken relative to the centre: where the interval is short beside the mean, rounding of the
        // limit itself would be all the test sees.
        const reach = method.reach(sample, at, level)!;
        // Studies alike to the last digits leave an interval shorter than rounding can show.
        if (reach.above < 1e-9) return;
        expectClose(mean!.interval.upper - mean!.value, reach.above, 'iterative', {
          ofSize: Math.abs(mean!.value) * 1e-6,
        });
        for (const step of [-reach.below, reach.above]) {
          expectClose(method.pValue(sample, at, at.distance + step), 1 - level, 'iterative');
        }
        // A likelihood ratio of nought comes out as a difference of two logs, whose last digit the square root of the
        // chi-square turns into 1e-8.
        expectClose(
          method.pValue(sample, at, at.distance),
          1,
          id.endsWith('profile-likelihood') ? 'otherLibrary' : 'identity',
        );
      }),
    );
  });
});

describe('heterogeneity', () => {
  test('I² and H² say the same thing twice', () => {
    fc.assert(
      fc.property(studies, (rows) => {
        const h = pooledFrom(rows, {}).heterogeneity!;
        expectNear(h.iSquared, 1 - 1 / h.hSquared, 'specialFunction', 1);
        expectNear(h.iSquaredInterval.lower, 1 - 1 / h.hSquaredInterval.lower, 'identity', 1);
        expectNear(h.iSquaredInterval.upper, 1 - 1 / h.hSquaredInterval.upper, 'identity', 1);
        expect(h.iSquaredInterval.lower).toBeLessThanOrEqual(h.iSquared + 1e-12);
        expect(h.iSquaredInterval.upper).toBeGreaterThan(h.iSquared);
      }),
    );
  });

  test('two studies: Q is the squared difference over the summed variances', () => {
    const { heterogeneity } = poolEstimates(estimatesOf([0.2, 1.4], [0.1, 0.3]));
    expectClose(heterogeneity!.q, 1.2 ** 2 / 0.4, 'identity');
    expectClose(heterogeneity!.betweenStudyVariance, (1.2 ** 2 - 0.4) / 2, 'specialFunction');
  });

  test('equal variances: the moment estimate is the sample variance less the sampling variance', () => {
    const values = [0.1, 0.9, -0.7, 1.3, 2.2];
    const { heterogeneity, mean } = poolEstimates(
      estimatesOf(
        values,
        values.map(() => 0.2),
      ),
    );
    const average = values.reduce((a, b) => a + b, 0) / 5;
    const sampleVariance = values.reduce((a, b) => a + (b - average) ** 2, 0) / 4;
    expectClose(heterogeneity!.betweenStudyVariance, sampleVariance - 0.2, 'specialFunction');
    expectClose(mean!.value, average, 'identity');
    // Hartung-Knapp is then the one-sample t interval: t(0.975, 4) = 2.7764451051977987 (R 4.2.2 qt).
    const hartungKnapp = poolEstimates(
      estimatesOf(
        values,
        values.map(() => 0.2),
      ),
      { interval: 'hartung-knapp' },
    );
    expectClose(
      hartungKnapp.mean!.interval.upper - average,
      2.7764451051977987 * Math.sqrt(sampleVariance / 5),
      'specialFunction',
    );
  });
});
