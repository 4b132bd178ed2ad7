// Estimators and intervals of the between-study variance and of the mean, against 40-digit arithmetic (Python) and
// base R: tests/reference/betweenStudyVariance.py and .R made the files and say how.
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chiSquareQuantile, chiSquareUpperTail } from '../../src/numerics/distributions.ts';
import { cochranQCumulative } from '../../src/pooling/cochranQDistribution.ts';
import { likelihoodPeaks } from '../../src/pooling/likelihoodPeaks.ts';
import { meanIntervalMethods } from '../../src/pooling/meanIntervalMethods.ts';
import { bartlettFactor } from '../../src/pooling/meanIntervals/profileLikelihood.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { pooledSample, weightedMean } from '../../src/pooling/pooledSample.ts';
import {
  type MeanInterval,
  meanIntervals,
  predictionIntervals,
  type VarianceEstimator,
  type VarianceInterval,
  varianceEstimators,
  varianceIntervals,
} from '../../src/pooling/poolOptions.ts';
import { intervalGoesWith } from '../../src/pooling/resolvePoolOptions.ts';
import { varianceLikelihood } from '../../src/pooling/varianceLikelihood.ts';
import { expectClose, expectPrinted } from '../helpers/close.ts';
import { runs } from '../helpers/runs.ts';
import { estimatesOf, expectJsonSafe, expectNear } from './estimates.ts';

interface ReferenceSet {
  readonly name: string;
  readonly values: number[];
  readonly variances: number[];
  readonly betweenStudyVariance: Record<VarianceEstimator, number>;
  readonly peaks: { full: number; restricted: number };
  readonly logLikelihood: { full: number; restricted: number };
  readonly varianceIntervals: Partial<Record<VarianceInterval, [number, number] | null>>;
  readonly cochranQCumulative: [number, number][];
  readonly bartlettFactor: number;
  readonly meanIntervals?: Partial<Record<MeanInterval, [number, number]>>;
}

const read = (file: string) =>
  JSON.parse(readFileSync(new URL(`../reference/${file}`, import.meta.url), 'utf8'));
const python = read('betweenStudyVariance-python.json') as { sets: ReferenceSet[] };
const r = read('betweenStudyVariance-r.json') as {
  sets: (Omit<ReferenceSet, 'cochranQCumulative'> & { cochranQCumulative?: number[] })[];
};

describe.each(python.sets.map((set, index) => [set.name, set, r.sets[index]!] as const))(
  '%s',
  (_name, set, fromR) => {
    const estimates = estimatesOf(set.values, set.variances);
    const sample = sampleOf(set.values, set.variances);
    const common = weightedMean(sample, 0);

    test.each(varianceEstimators)('%s', (estimator) => {
      const { heterogeneity } = poolEstimates(estimates, { betweenStudyVariance: estimator });
      expectClose(
        heterogeneity?.betweenStudyVariance,
        set.betweenStudyVariance[estimator],
        'specialFunction',
      );
      expectClose(heterogeneity?.betweenStudyVariance, fromR.betweenStudyVariance[estimator], 'otherLibrary');
    });

    test('log-likelihoods and number of peaks', () => {
      for (const restricted of [false, true]) {
        const key = restricted ? 'restricted' : 'full';
        const peaks = likelihoodPeaks(sample, restricted);
        expect(peaks).toHaveLength(set.peaks[key]);
        expectClose(peaks[0]?.logLikelihood, set.logLikelihood[key], 'specialFunction');
        expectClose(peaks[0]?.logLikelihood, fromR.logLikelihood[key], 'specialFunctionTail');
      }
    });

    test('intervals of the variance', () => {
      for (const [method, limits] of Object.entries(set.varianceIntervals)) {
        const found = poolEstimates(estimates, { varianceInterval: method as VarianceInterval }).heterogeneity
          ?.betweenStudyVarianceInterval;
        if (!limits) {
          expect(found).toBeUndefined();
          continue;
        }
        expectClose(found?.lower, limits[0], 'specialFunctionTail');
        expectClose(found?.upper, limits[1], 'specialFunctionTail');
        const inR = fromR.varianceIntervals[method as VarianceInterval];
        if (inR) {
          expectClose(found?.lower, inR[0], 'otherLibrary');
          expectClose(found?.upper, inR[1], 'otherLibrary');
        }
      }
    });

    test('distribution of Cochran Q: Imhof by quadrature', () => {
      set.cochranQCumulative.forEach(([variance, probability], index) => {
        const found = cochranQCumulative(sample, common.q, variance);
        // Far down the lower tail (3e-5) the reference's oscillating integral itself is good to 1e-10 only.
        expectNear(found, probability, 'specialFunction', probability < 1e-4 ? 100 : 1);
        const inR = fromR.cochranQCumulative?.[index];
        if (inR !== undefined)
          expectPrinted(found, inR.toFixed(5), {
            because:
              'integrate() on an oscillating integrand is good to five decimals: see the reason in the file',
          });
      });
    });

    test('profile-likelihood intervals of the mean', () => {
      expectClose(
        bartlettFactor(sample, set.betweenStudyVariance['maximum-likelihood']),
        set.bartlettFactor,
        'specialFunction',
      );
      for (const [method, limits] of Object.entries(set.meanIntervals ?? {})) {
        const { mean } = poolEstimates(estimates, {
          betweenStudyVariance: 'maximum-likelihood',
          interval: method as MeanInterval,
        });
        expectNear(mean?.interval.lower, limits[0], 'iterative', 1);
        expectNear(mean?.interval.upper, limits[1], 'iterative', 1);
      }
    });
  },
);

const sampleOf = (values: readonly number[], variances: readonly number[]) =>
  pooledSample(Float64Array.from(values), Float64Array.from(variances));

/** Values and variances of 2 to 12 studies, of ordinary and of extreme size. */
const studies = fc
  .array(
    fc.record({
      value: fc.integer({ min: -5000, max: 5000 }).map((value) => value / 1000),
      logVariance: fc.double({ min: -7, max: 5, noNaN: true }),
    }),
    {
      minLength: 2,
      maxLength: 12,
    },
  )
  .map((rows) => ({
    values: rows.map(({ value }) => value),
    variances: rows.map(({ logVariance }) => Math.exp(logVariance)),
  }));

describe('defining equations', () => {
  test('Paule-Mandel: Q at the estimate is k - 1', () => {
    fc.assert(
      fc.property(studies, ({ values, variances }) => {
        const variance = poolEstimates(estimatesOf(values, variances), {
          betweenStudyVariance: 'paule-mandel',
        }).heterogeneity!.betweenStudyVariance;
        if (variance > 0)
          expectClose(
            weightedMean(sampleOf(values, variances), variance).q,
            values.length - 1,
            'specialFunctionTail',
          );
      }),
    );
  });

  test.each(['maximum-likelihood', 'restricted-maximum-likelihood'] as const)(
    '%s: the slope is zero, and no grid point is higher',
    (estimator) => {
      const restricted = estimator === 'restricted-maximum-likelihood';
      fc.assert(
        fc.property(studies, ({ values, variances }) => {
          const sample = sampleOf(values, variances);
          const variance = poolEstimates(estimatesOf(values, variances), { betweenStudyVariance: estimator })
            .heterogeneity!.betweenStudyVariance;
          const found = varianceLikelihood(sample, variance, restricted);
          // The slope is a difference of two sums of about weightSum: zero means zero beside that.
          if (variance > 0) expect(Math.abs(found.slope)).toBeLessThanOrEqual(1e-10 * found.weightSum);
          else expect(found.slope).toBeLessThanOrEqual(0);
          for (let exponent = -12; exponent <= 8; exponent += 0.25) {
            const elsewhere = varianceLikelihood(sample, Math.exp(exponent), restricted).logLikelihood;
            expect(elsewhere).toBeLessThanOrEqual(found.logLikelihood + 1e-9);
          }
        }),
        { numRuns: runs(60) },
      );
    },
  );

  test('limits of the variance put back: Q-profile, generalised Q, likelihoods', () => {
    fc.assert(
      fc.property(studies, ({ values, variances }) => {
        const sample = sampleOf(values, variances);
        const common = weightedMean(sample, 0);
        const k = values.length;
        const limitsBy = (varianceInterval: VarianceInterval) =>
          poolEstimates(estimatesOf(values, variances), { varianceInterval }).heterogeneity
            ?.betweenStudyVarianceInterval;
        const q = limitsBy('q-profile');
        if (q) expectClose(chiSquareUpperTail(weightedMean(sample, q.upper).q, k - 1), 0.975, 'iterative');
        if (q && q.lower > 0)
          expectClose(chiSquareUpperTail(weightedMean(sample, q.lower).q, k - 1), 0.025, 'iterative');
        const g = limitsBy('generalised-q');
        if (g) expectClose(cochranQCumulative(sample, common.q, g.upper), 0.025, 'iterative');
        if (g && g.lower > 0) expectClose(cochranQCumulative(sample, common.q, g.lower), 0.975, 'iterative');
        for (const restricted of [false, true]) {
          const limits = limitsBy(restricted ? 'profile-restricted-likelihood' : 'profile-likelihood')!;
          const best = likelihoodPeaks(sample, restricted)[0]!.logLikelihood;
          const drop = (variance: number) =>
            2 * (best - varianceLikelihood(sample, variance, restricted).logLikelihood);
          expectClose(drop(limits.upper), chiSquareQuantile(0.95, 1), 'iterative');
          if (limits.lower > 0) expectClose(drop(limits.lower), chiSquareQuantile(0.95, 1), 'iterative');
        }
      }),
      { numRuns: runs(60) },
    );
  });

  test('without between-study variance the exact distribution of Q is the chi-square', () => {
    fc.assert(
      fc.property(studies, fc.double({ min: 0.1, max: 40, noNaN: true }), ({ values, variances }, q) => {
        expectNear(
          cochranQCumulative(sampleOf(values, variances), q, 0),
          1 - chiSquareUpperTail(q, values.length - 1),
          'specialFunctionTail',
          1,
        );
      }),
    );
  });
});

describe('interval and test say the same', () => {
  const pairs = varianceEstimators.flatMap((estimator) =>
    meanIntervals
      .filter((interval) => intervalGoesWith(interval, 'random-effects', estimator))
      .map((interval) => [estimator, interval] as const),
  );
  test.each(pairs)('%s with %s: the test at a limit returns 1 - level', (betweenStudyVariance, interval) => {
    fc.assert(
      fc.property(studies, fc.constantFrom(0.9, 0.95, 0.99), ({ values, variances }, level) => {
        const { mean, heterogeneity } = poolEstimates(estimatesOf(values, variances), {
          betweenStudyVariance,
          interval,
          level,
        });
        if (mean!.intervalMethod !== interval) return;
        const sample = sampleOf(values, variances);
        const at = weightedMean(sample, heterogeneity!.betweenStudyVariance);
        for (const limit of [mean!.interval.lower, mean!.interval.upper]) {
          expectClose(
            meanIntervalMethods[interval].pValue(sample, at, limit - sample.centre),
            1 - level,
            'otherLibrary',
          );
        }
      }),
      { numRuns: runs(20) },
    );
  });
});

describe('invariances', () => {
  test.each(varianceEstimators)('%s: shift, change of unit, order', (betweenStudyVariance) => {
    fc.assert(
      fc.property(
        studies,
        fc.constantFrom(-3, 0.01, 7),
        fc.constantFrom(-40, 3),
        ({ values, variances }, unit, shift) => {
          const options = { betweenStudyVariance };
          const one = poolEstimates(estimatesOf(values, variances), options);
          const other = poolEstimates(
            estimatesOf(
              values.map((value) => unit * value + shift).reverse(),
              variances.map((variance) => unit * unit * variance).reverse(),
            ),
            options,
          );
          const scale = Math.max(...variances) + Math.max(...values.map((value) => value * value));
          expectNear(
            other.heterogeneity!.betweenStudyVariance / unit ** 2,
            one.heterogeneity!.betweenStudyVariance,
            'otherLibrary',
            1e-5 * scale,
          );
        },
      ),
      { numRuns: runs(40) },
    );
  });

  test('with equal variances the unrestricted moment estimators and the restricted likelihood coincide', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.integer({ min: -5000, max: 5000 }).map((value) => value / 1000),
          { minLength: 2, maxLength: 10 },
        ),
        (values) => {
          const estimates = estimatesOf(
            values,
            values.map(() => 0.3),
          );
          const by = (betweenStudyVariance: VarianceEstimator) =>
            poolEstimates(estimates, { betweenStudyVariance }).heterogeneity!.betweenStudyVariance;
          const reference = by('hedges-olkin');
          for (const estimator of [
            'dersimonian-laird',
            'two-step-dersimonian-laird',
            'paule-mandel',
            'restricted-maximum-likelihood',
          ] as const) {
            expectNear(by(estimator), reference, 'iterative', 0.3);
          }
        },
      ),
    );
  });

  test('k = 2 in closed form: (y1 - y2)² / 2 less the mean variance, where positive (Paule-Mandel, Hedges-Olkin, restricted likelihood, moments)', () => {
    const expected = 1.5 ** 2 / 2 - 0.25;
    for (const estimator of [
      'hedges-olkin',
      'paule-mandel',
      'restricted-maximum-likelihood',
      'dersimonian-laird',
    ] as const) {
      const { heterogeneity } = poolEstimates(estimatesOf([0.5, 2], [0.1, 0.4]), {
        betweenStudyVariance: estimator,
      });
      expectClose(heterogeneity?.betweenStudyVariance, expected, 'specialFunction');
    }
  });

  test('the truncated Hartung-Knapp interval is never narrower than the Wald interval', () => {
    fc.assert(
      fc.property(studies, ({ values, variances }) => {
        const estimates = estimatesOf(values, variances);
        const width = (interval: MeanInterval) => {
          const limits = poolEstimates(estimates, { interval }).mean!.interval;
          return limits.upper - limits.lower;
        };
        expect(width('truncated-hartung-knapp')).toBeGreaterThanOrEqual(width('wald'));
      }),
    );
  });

  test('the Bartlett factor for equal variances is 1 + 3/(2k), as for the t-test of one mean', () => {
    // k [digamma(k/2) - digamma((k-1)/2)] is the exact expectation there; 1 + 3/(2k) is its expansion.
    for (const k of [3, 10, 40]) {
      const sample = sampleOf(new Array(k).fill(0), new Array(k).fill(0.2));
      expectClose(bartlettFactor(sample, 0.7), 1 + 3 / (2 * k), 'specialFunction');
    }
  });
});

describe('prediction', () => {
  const set = python.sets[0]!;
  const estimates = estimatesOf(set.values, set.variances);

  test('the bootstrap is the same for the same seed and near itself for another', () => {
    const by = (seed: number, draws = 20_000) =>
      poolEstimates(estimates, { prediction: 'bootstrap', bootstrap: { seed, draws } }).prediction!;
    expect(by(1)).toEqual(by(1));
    // Monte Carlo error of a 2.5 % quantile of 20,000 draws is about 0.03 here.
    expect(Math.abs(by(2).lower - by(1).lower)).toBeLessThan(0.12);
    expect(Math.abs(by(2).upper - by(1).upper)).toBeLessThan(0.12);
  });

  test('every prediction interval is at least as wide as the Wald interval, and none is given below three studies', () => {
    for (const prediction of predictionIntervals) {
      const pool = poolEstimates(estimates, { prediction });
      expect(pool.prediction!.upper - pool.prediction!.lower).toBeGreaterThan(
        pool.mean!.interval.upper - pool.mean!.interval.lower,
      );
      expect(poolEstimates(estimates.slice(0, 2), { prediction }).prediction).toBeUndefined();
    }
  });
});

describe('awkward data give a stated result, never NaN', () => {
  const awkward: Record<string, [number[], number[]]> = {
    'one study': [[1], [0.2]],
    'two studies': [
      [1, 2],
      [0.2, 0.3],
    ],
    identical: [
      [1, 1, 1, 1],
      [0.2, 0.2, 0.2, 0.2],
    ],
    'no heterogeneity': [
      [1, 1.01, 0.99],
      [1, 1, 1],
    ],
    'I² of 99 %': [
      [0, 10, 20, 30],
      [1, 1, 1, 1],
    ],
    'one study a thousand times larger': [
      [1, 2, 3, 0],
      [1, 1, 1, 0.001],
    ],
    'variances from 1e-8 to 1e4': [
      [1, 2, 0.5, 1.5, 3],
      [1e-8, 1e-4, 1, 100, 1e4],
    ],
    'values offset by 1e9': [
      [1e9 + 1, 1e9 + 2, 1e9 + 4],
      [0.5, 0.5, 0.5],
    ],
  };
  test.each(Object.entries(awkward))('%s', (_name, [values, variances]) => {
    for (const betweenStudyVariance of varianceEstimators) {
      for (const interval of meanIntervals) {
        if (!intervalGoesWith(interval, 'random-effects', betweenStudyVariance)) continue;
        for (const varianceInterval of varianceIntervals) {
          for (const prediction of predictionIntervals) {
            expectJsonSafe(
              poolEstimates(estimatesOf(values, variances), {
                betweenStudyVariance,
                interval,
                varianceInterval,
                prediction,
                ...(prediction === 'bootstrap' ? { bootstrap: { draws: 100, seed: 1 } } : {}),
              }),
            );
          }
        }
      }
    }
  });

  test('an offset of 1e9 changes nothing but the mean', () => {
    for (const betweenStudyVariance of varianceEstimators) {
      const at = (offset: number) =>
        poolEstimates(estimatesOf([offset + 1, offset + 2, offset + 4], [0.5, 0.5, 0.5]), {
          betweenStudyVariance,
        }).heterogeneity!.betweenStudyVariance;
      expectClose(at(1e9), at(0), 'specialFunction');
    }
  });

  test('profile-likelihood intervals are refused for any other estimator, in words', () => {
    expect(() => poolEstimates(estimatesOf([1, 2], [1, 1]), { interval: 'profile-likelihood' })).toThrow(
      /needs model "random-effects" and betweenStudyVariance "maximum-likelihood", received "random-effects" and "dersimonian-laird"/,
    );
  });

  test('two likelihood peaks are said', () => {
    const set = python.sets.find(({ peaks }) => peaks.full === 2)!;
    const { cautions } = poolEstimates(estimatesOf(set.values, set.variances), {
      betweenStudyVariance: 'maximum-likelihood',
    });
    expect(cautions.map(({ code }) => code)).toContain('two-likelihood-peaks');
  });
});
