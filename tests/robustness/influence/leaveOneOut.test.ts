import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { pooledSample, weightedMean } from '../../../src/pooling/pooledSample.ts';
import { meanIntervals, poolingModels, varianceEstimators } from '../../../src/pooling/poolOptions.ts';
import { intervalGoesWith } from '../../../src/pooling/resolvePoolOptions.ts';
import { leaveOneOut } from '../../../src/robustness/influence/leaveOneOut.ts';
import { momentsWithoutEach } from '../../../src/robustness/influence/momentsWithoutEach.ts';
import { sumsAtManyVariances } from '../../../src/robustness/influence/sumsAtManyVariances.ts';
import { runs } from '../../helpers/runs.ts';
import { estimatesOf, expectJsonSafe } from '../../pooling/estimates.ts';
import { agree, estimatesFrom } from '../invented.ts';

const ways = poolingModels.flatMap((model) =>
  varianceEstimators.flatMap((betweenStudyVariance) =>
    meanIntervals
      .filter((interval) => intervalGoesWith(interval, model, betweenStudyVariance))
      .map((interval) => ({ model, betweenStudyVariance, interval })),
  ),
);

describe('leave one out equals pooling the others', () => {
  it.each(ways)('$model, $betweenStudyVariance, $interval', (options) => {
    for (const [count, spread] of [
      [2, 0.5],
      [3, 0],
      [9, 0.3],
      [12, 1],
    ] as const) {
      const estimates = estimatesFrom(count + 7, count, spread);
      const { without, whole } = leaveOneOut(estimates, options);
      for (const [i, row] of without.entries()) {
        const rest = poolEstimates(
          estimates.filter((_, j) => j !== i),
          options,
        );
        const size = Math.abs(rest.mean!.value) + rest.mean!.standardError;
        agree(row.mean!.value, rest.mean!.value, 1e-10, size);
        agree(row.mean!.standardError, rest.mean!.standardError, 1e-10);
        agree(row.mean!.interval.lower, rest.mean!.interval.lower, 1e-10, size);
        agree(row.mean!.interval.upper, rest.mean!.interval.upper, 1e-10, size);
        expect(row.mean!.intervalMethod).toBe(rest.mean!.intervalMethod);
        expect(row.prediction === undefined).toBe(rest.prediction === undefined);
        if (rest.prediction) agree(row.prediction!.upper, rest.prediction.upper, 1e-10, size);
        agree(row.natural!.value, rest.natural!.value, 1e-10, size);
        expect(row.heterogeneity === undefined).toBe(rest.heterogeneity === undefined);
        if (rest.heterogeneity) {
          const { q, iSquared, betweenStudyVariance } = rest.heterogeneity;
          agree(row.heterogeneity!.q, q, 1e-10, 1e-4);
          agree(row.heterogeneity!.iSquared, iSquared, 1e-10, 0.01);
          agree(row.heterogeneity!.betweenStudyVariance, betweenStudyVariance, 1e-10, 0.01);
        }
        agree(row.change, rest.mean!.value - whole.mean!.value, 1e-10, size);
      }
    }
  });
});

describe('the linear route', () => {
  it('gives the refits with variances that differ by many powers of ten, and with one study that is everything', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.tuple(fc.double({ min: -3, max: 3, noNaN: true }), fc.double({ min: -8, max: 4, noNaN: true })),
          { minLength: 3, maxLength: 40 },
        ),
        (rows) => {
          const estimates = estimatesOf(
            rows.map(([value]) => value),
            rows.map(([, power]) => 10 ** power),
          );
          for (const [i, row] of leaveOneOut(estimates).without.entries()) {
            const rest = poolEstimates(estimates.filter((_, j) => j !== i));
            const { q, degreesOfFreedom } = rest.heterogeneity!;
            // Q less its degrees of freedom loses the digits they share, by either route.
            const lost = q / Math.abs(q - degreesOfFreedom);
            if (!(lost < 1e6)) continue;
            const tolerance = 1e-12 * Math.max(100, lost);
            const size = Math.abs(rest.mean!.value) + rest.mean!.standardError;
            agree(row.mean!.value, rest.mean!.value, tolerance, size);
            agree(row.mean!.standardError, rest.mean!.standardError, tolerance);
          }
        },
      ),
      { numRuns: runs(200), seed: 20261125 },
    );
  });

  it('interpolates weighted sums to rounding: 3,000 between-study variances from 0 to 1,000', () => {
    const sample = pooledSample(
      Float64Array.from({ length: 60 }, (_, i) => Math.sin(7 * i)),
      Float64Array.from({ length: 60 }, (_, i) => 10 ** (-3 + 4 * Math.abs(Math.cos(3 * i)))),
    );
    const asked = Float64Array.from({ length: 3000 }, (_, i) => (1000 * ((i * 617) % 3000) ** 2) / 3000 ** 2);
    const sums = sumsAtManyVariances(sample, asked);
    for (const i of asked.keys()) {
      const { weightSum, distance } = weightedMean(sample, asked[i]!);
      agree(sums.weights[i], weightSum, 1e-13);
      agree(sums.weighted[i]! / sums.weights[i]!, distance, 1e-12, 1);
    }
  });

  it('is linear: 5,000 studies agree with refits at 30 of them', () => {
    const estimates = estimatesFrom(3, 5000, 0.4);
    const { without } = leaveOneOut(estimates, { interval: 'hartung-knapp' });
    for (let i = 0; i < 5000; i += 167) {
      const rest = poolEstimates(
        estimates.filter((_, j) => j !== i),
        { interval: 'hartung-knapp' },
      );
      agree(without[i]!.mean!.value, rest.mean!.value, 1e-11);
      agree(without[i]!.mean!.interval.upper, rest.mean!.interval.upper, 1e-11);
      agree(without[i]!.heterogeneity!.betweenStudyVariance, rest.heterogeneity!.betweenStudyVariance, 1e-10);
    }
  });

  it('leaves nothing but rounding in the moments of identical studies', () => {
    const moments = momentsWithoutEach(
      pooledSample(new Float64Array(5).fill(0.3), new Float64Array(5).fill(0.1)),
    );
    expect([...moments.q, ...moments.scatter, ...moments.betweenStudyVariances]).toEqual(Array(15).fill(0));
  });
});

describe('what goes together', () => {
  const estimates = estimatesFrom(5, 6, 0.5).map((estimate, i) =>
    i < 2 ? { ...estimate, study: 'two-arms', arm: `arm-${i}` } : estimate,
  );

  it('leaves out a study with all its arms, or one arm when asked', () => {
    const byStudy = leaveOneOut(estimates);
    expect(byStudy.without).toHaveLength(5);
    expect(byStudy.without[0]).toMatchObject({ study: 'two-arms', estimatesOmitted: 2, estimates: 4 });
    agree(byStudy.without[0]!.mean!.value, poolEstimates(estimates.slice(2)).mean!.value, 1e-13);
    expect(leaveOneOut(estimates, { unit: 'estimate' }).without).toHaveLength(6);
  });

  it('says nothing is left of one study, and nothing at all of none', () => {
    const one = leaveOneOut(estimatesFrom(1, 1, 0));
    expect(one.without[0]).toMatchObject({ estimates: 0, mean: undefined, change: undefined });
    expect(leaveOneOut([], { scale: 'logit' }).without).toEqual([]);
    expectJsonSafe(JSON.parse(JSON.stringify(one)));
  });

  it('refuses an unknown unit, naming those it knows', () => {
    expect(() => leaveOneOut(estimates, { unit: 'patient' as 'study' })).toThrow(/study, estimate/);
    expect(() => leaveOneOut(estimates, { by: 1 } as object)).toThrow(/unknown option/);
  });
});
