// P value of the mean, standard error of the between-study variance, log-likelihood and test of homogeneity, profile
// limits and mean over studies of the one-step model: against base R and lme4 (tests/reference/pooledStatistics.R says
// how), and put back into their own equations.
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { analysisScales, contrastScales } from '../../src/effects/analysisScale.ts';
import { meanDifference } from '../../src/effects/twoMeans.ts';
import { chiSquareQuantile, chiSquareUpperTail } from '../../src/numerics/distributions.ts';
import { fitBinomialNormal } from '../../src/pooling/fitBinomialNormal.ts';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { meanIntervals, predictionIntervals, varianceEstimators } from '../../src/pooling/poolOptions.ts';
import { leaveOneOut } from '../../src/robustness/influence/leaveOneOut.ts';
import { expectAllClose, expectClose } from '../helpers/close.ts';
import { runs } from '../helpers/runs.ts';
import { estimatesOf, expectJsonSafe } from './estimates.ts';

interface OfLikelihood {
  readonly betweenStudyVariance: number;
  readonly logLikelihood: number;
  readonly statistic: number;
  readonly p: number;
}
interface Reference {
  readonly estimates: readonly {
    readonly name: string;
    readonly values: number[];
    readonly variances: number[];
    readonly standardErrors: Readonly<Record<string, number>>;
    readonly full: OfLikelihood;
    readonly restricted: OfLikelihood;
    readonly p: Readonly<Record<string, number>>;
    readonly prediction: readonly [number, number];
  }[];
  readonly counts: readonly {
    readonly id: string;
    readonly statistic: number;
    readonly p: number;
    readonly deviationStandardError: number;
    readonly meanOfStudies: number;
    readonly profileMedian: readonly [number, number];
    readonly profileMean: readonly [number, number];
  }[];
  readonly means: readonly {
    readonly treated: readonly [number, number, number];
    readonly comparator: readonly [number, number, number];
    readonly difference: number;
    readonly standardError: number;
  }[];
}
const read = (path: string) => JSON.parse(readFileSync(new URL(path, import.meta.url), 'utf8'));
const reference = read('../reference/pooledStatistics.json') as Reference;
const countSets = (
  read('./reference/binomialNormalReference.json') as {
    sets: { id: string; events: number[]; totals: number[]; logLikelihood: number }[];
  }
).sets.map((set) => ({
  ...set,
  counts: set.events.map((events, i) => ({ events, total: set.totals[i]! })),
  expected: reference.counts.find(({ id }) => id === set.id)!,
}));
const z = (level: number): number => chiSquareQuantile(level, 1);

describe.each(reference.estimates)('against base R: $name', (set) => {
  const estimates = estimatesOf(set.values, set.variances);

  test.each(varianceEstimators)('standard error of the variance, %s', (betweenStudyVariance) => {
    const { heterogeneity } = poolEstimates(estimates, { betweenStudyVariance });
    const expected = set.standardErrors[betweenStudyVariance];
    if (expected === undefined) {
      // No formula is published for these: nothing is made up.
      expect(heterogeneity!.betweenStudyVarianceStandardError).toBeUndefined();
    } else expectClose(heterogeneity!.betweenStudyVarianceStandardError, expected, 'otherLibrary');
  });

  test.each([
    ['maximum-likelihood', set.full],
    ['restricted-maximum-likelihood', set.restricted],
  ] as const)('log-likelihood and test of homogeneity, %s', (betweenStudyVariance, expected) => {
    const { heterogeneity } = poolEstimates(estimates, { betweenStudyVariance });
    expectClose(heterogeneity!.betweenStudyVariance, expected.betweenStudyVariance, 'otherLibrary');
    expectClose(heterogeneity!.logLikelihood, expected.logLikelihood, 'specialFunctionTail');
    expectClose(heterogeneity!.likelihoodRatio!.statistic, expected.statistic, 'iterative');
    expectClose(heterogeneity!.likelihoodRatio!.pValue, expected.p, 'otherLibrary');
  });

  test.each(Object.keys(set.p) as (typeof meanIntervals)[number][])('p value of the mean, %s', (interval) => {
    const { mean } = poolEstimates(estimates, {
      interval,
      betweenStudyVariance: interval === 'profile-likelihood' ? 'maximum-likelihood' : 'dersimonian-laird',
    });
    expectClose(mean!.pValue, set.p[interval]!, 'otherLibrary');
  });

  test('prediction by t with k - 1 degrees of freedom and the Hartung-Knapp variance', () => {
    expect([...predictionIntervals]).toContain('t-k-minus-1-hartung-knapp');
    const { prediction } = poolEstimates(estimates, { prediction: 't-k-minus-1-hartung-knapp' });
    expectAllClose([prediction!.lower, prediction!.upper], [...set.prediction], 'otherLibrary');
  });
});

const studies = fc.array(
  fc.record({
    value: fc.double({ min: -3, max: 3, noNaN: true }),
    variance: fc.double({ min: 0.005, max: 2, noNaN: true }),
  }),
  { minLength: 3, maxLength: 12 },
);
const pooledFrom = (
  rows: readonly { readonly value: number; readonly variance: number }[],
  options: Parameters<typeof poolEstimates>[1] = {},
) =>
  poolEstimates(
    estimatesOf(
      rows.map(({ value }) => value),
      rows.map(({ variance }) => variance),
      options.scale,
    ),
    options,
  );

test.each(meanIntervals)('%s: at one less the p value as level, the interval ends at 0', (interval) => {
  const betweenStudyVariance = interval.endsWith('profile-likelihood')
    ? 'maximum-likelihood'
    : 'dersimonian-laird';
  fc.assert(
    fc.property(studies, (rows) => {
      const { mean } = pooledFrom(rows, { interval, betweenStudyVariance });
      const p = mean!.pValue!;
      expect(p).toBeGreaterThanOrEqual(0);
      if (!(p > 1e-4 && p < 0.99)) return;
      const again = pooledFrom(rows, { interval, betweenStudyVariance, level: 1 - p }).mean!;
      const end = again.value > 0 ? again.interval.lower : again.interval.upper;
      expectClose(
        again.value - end,
        again.value,
        interval.includes('profile') ? 'iterative' : 'specialFunctionTail',
      );
    }),
    { numRuns: runs(100) },
  );
});

test('a difference of nothing has a p value on every scale of differences, a rate on none', () => {
  const rows = [
    { value: 0.3, variance: 0.02 },
    { value: 0.1, variance: 0.03 },
    { value: 0.5, variance: 0.05 },
  ];
  for (const scale of analysisScales) {
    const { mean } = pooledFrom(rows, { scale });
    const tested = ([...contrastScales, 'plain'] as string[]).includes(scale);
    expect(mean!.pValue === undefined, scale).toBe(!tested);
  }
});

test('where the interval falls back to Wald, so does the p value', () => {
  const rows = [0.2, 0.2, 0.2].map((value) => ({ value, variance: 0.03 }));
  const { mean } = pooledFrom(rows, { interval: 'hartung-knapp' });
  expect(mean!.intervalMethod).toBe('wald');
  // 0.2 / sqrt(0.03 / 3) = 2; R: 2 * pnorm(-2).
  expectClose(mean!.pValue, 0.04550026389635842, 'specialFunction');
});

test('left out in turn: the p value of the pool made afresh, by the linear route too', () => {
  fc.assert(
    fc.property(
      fc.array(
        fc.record({
          value: fc.integer({ min: -300, max: 300 }).map((hundredths) => hundredths / 100),
          variance: fc.double({ min: 0.005, max: 2, noNaN: true }),
        }),
        { minLength: 3, maxLength: 12 },
      ),
      fc.constantFrom(...meanIntervals.filter((each) => !each.endsWith('likelihood'))),
      fc.constantFrom(...predictionIntervals.filter((each) => each !== 'bootstrap')),
      (rows, interval, prediction) => {
        const options = { interval, prediction };
        const { without } = leaveOneOut(
          estimatesOf(
            rows.map(({ value }) => value),
            rows.map(({ variance }) => variance),
          ),
          options,
        );
        without.forEach(({ mean, prediction: next }, left) => {
          const afresh = pooledFrom(
            rows.filter((_, i) => i !== left),
            options,
          );
          // Far out a p value loses what the ratio behind it gains.
          expectClose(mean!.pValue, afresh.mean!.pValue!, 'iterative', { ofSize: 1e-6 });
          expect(next === undefined).toBe(afresh.prediction === undefined);
          if (next && afresh.prediction)
            expectClose(
              next.upper - next.lower,
              afresh.prediction.upper - afresh.prediction.lower,
              'iterative',
            );
        });
      },
    ),
    { numRuns: runs(100) },
  );
});

test('the new prediction interval is the Hartung-Knapp interval of the mean where no difference is estimated', () => {
  const rows = [0.1, 0.2, 0.12, 0.18].map((value) => ({ value, variance: 0.1 }));
  const { mean, prediction, heterogeneity } = pooledFrom(rows, {
    interval: 'hartung-knapp',
    prediction: 't-k-minus-1-hartung-knapp',
  });
  expect(heterogeneity!.betweenStudyVariance).toBe(0);
  expectAllClose(
    [prediction!.lower, prediction!.upper],
    [mean!.interval.lower, mean!.interval.upper],
    'identity',
  );
});

test('standard errors of moment estimators: traces of their quadratic forms', () => {
  fc.assert(
    fc.property(studies, (rows) => {
      const k = rows.length;
      const precision = rows.map(({ variance }) => 1 / variance);
      const sum = precision.reduce((a, b) => a + b, 0);
      const ofQ = (i: number, j: number) =>
        (i === j ? precision[i]! : 0) - (precision[i]! * precision[j]!) / sum;
      const ofAverage = (i: number, j: number) => (i === j ? 1 : 0) - 1 / k;
      for (const [betweenStudyVariance, form, divisor] of [
        ['dersimonian-laird', ofQ, rows.reduce((total, _, i) => total + ofQ(i, i), 0)],
        ['hunter-schmidt', ofQ, sum],
        ['hedges-olkin', ofAverage, k - 1],
      ] as const) {
        const { heterogeneity } = pooledFrom(rows, { betweenStudyVariance });
        const total = rows.map(({ variance }) => variance + heterogeneity!.betweenStudyVariance);
        let trace = 0;
        for (let i = 0; i < k; i++)
          for (let j = 0; j < k; j++) trace += form(i, j) ** 2 * total[i]! * total[j]!;
        expectClose(
          heterogeneity!.betweenStudyVarianceStandardError,
          Math.sqrt(2 * trace) / divisor,
          'specialFunctionTail',
        );
      }
    }),
    { numRuns: runs(200) },
  );
});

test('one study that outweighs the others a billion times leaves the standard error its digits', () => {
  // Two studies: Var Q = 2(1 + τ²s)² and C = 2s / 2 with s = w₁w₂/(w₁+w₂), written out by hand.
  const rows = [
    { value: 0, variance: 1e-9 },
    { value: 3, variance: 1 },
  ];
  const { heterogeneity } = pooledFrom(rows);
  // A = s (1 -1; -1 1): 2 tr(AVAV) = 2 s² (V₁ + V₂)², C = 2 s·½·2.
  const between = heterogeneity!.betweenStudyVariance;
  const s = 1 / (1e-9 + 1);
  expectClose(
    heterogeneity!.betweenStudyVarianceStandardError,
    (Math.SQRT2 * s * (1e-9 + 1 + 2 * between)) / (2 * s),
    'specialFunction',
  );
});

test('estimators that maximise no likelihood have neither likelihood nor its test', () => {
  for (const betweenStudyVariance of varianceEstimators) {
    const { heterogeneity } = pooledFrom(
      [
        { value: 0, variance: 0.1 },
        { value: 1, variance: 0.1 },
        { value: 0.4, variance: 0.2 },
      ],
      { betweenStudyVariance },
    );
    const has = betweenStudyVariance.endsWith('maximum-likelihood');
    expect(heterogeneity!.logLikelihood !== undefined).toBe(has);
    expect(heterogeneity!.likelihoodRatio !== undefined).toBe(has);
  }
});

describe('the one-step model', () => {
  test.each(countSets)('against lme4: $id', ({ counts, expected }) => {
    const fit = fitBinomialNormal(counts);
    expectClose(fit.deviationStandardError, expected.deviationStandardError, 'otherLibrary');
    expectClose(fit.likelihoodRatio!.statistic, expected.statistic, 'iterative');
    expectClose(fit.likelihoodRatio!.pValue, expected.p, 'otherLibrary');
    expectClose(fit.meanOfStudies!.rate, expected.meanOfStudies, 'otherLibrary');
    const profile = fitBinomialNormal(counts, { interval: 'profile-likelihood' });
    expect(profile).toMatchObject({ rate: fit.rate, intervalMethod: 'profile-likelihood' });
    expectAllClose(
      [profile.interval!.lower, profile.interval!.upper],
      [...expected.profileMedian],
      'otherLibrary',
    );
    const { interval } = profile.meanOfStudies!;
    expectAllClose([interval!.lower, interval!.upper], [...expected.profileMean], 'otherLibrary');
  });

  test.each(countSets)('limits, mean and curvature put back into the likelihood: $id', ({ counts }) => {
    const fit = fitBinomialNormal(counts, {
      quadraturePoints: 60,
      interval: 'profile-likelihood',
      level: 0.9,
    });
    const { mean, betweenStudyDeviation: s } = fit;
    const highest = logLikelihood(counts, mean!, s!);
    expectClose(fit.logLikelihood, highest, 'specialFunctionTail');
    expectClose(fit.meanOfStudies!.rate, meanRate(mean!, s!), 'specialFunctionTail');
    const logit = (rate: number) => Math.log(rate / (1 - rate));
    for (const limit of [fit.interval!.lower, fit.interval!.upper]) {
      const best = highestOver((deviation) => logLikelihood(counts, logit(limit), deviation));
      expectClose(2 * (highest - best), z(0.9), 'specialFunctionTail');
    }
    for (const limit of [fit.meanOfStudies!.interval!.lower, fit.meanOfStudies!.interval!.upper]) {
      const best = highestOver((deviation) => logLikelihood(counts, meanFor(limit, deviation), deviation));
      expectClose(2 * (highest - best), z(0.9), 'specialFunctionTail');
    }
  });

  test('the Wald interval of the mean of studies is the delta method on its log odds', () => {
    for (const { counts } of countSets) {
      const { mean, betweenStudyDeviation, meanOfStudies, standardError, deviationStandardError } =
        fitBinomialNormal(counts, { quadraturePoints: 60 });
      const f = (m: number, s: number) => {
        const rate = meanRate(m, s);
        return Math.log(rate / (1 - rate));
      };
      const h = 1e-3;
      const m = mean!;
      const s = betweenStudyDeviation!;
      const slope = (g: (x: number) => number) => (g(-2 * h) - 8 * g(-h) + 8 * g(h) - g(2 * h)) / (12 * h);
      const byMean = slope((x) => f(m + x, s));
      const byDeviation = slope((x) => f(m, s + x));
      // Their covariance from the curvature of the likelihood written out below.
      const mixed =
        (logLikelihood(counts, m + h, s + h) -
          logLikelihood(counts, m + h, s - h) -
          logLikelihood(counts, m - h, s + h) +
          logLikelihood(counts, m - h, s - h)) /
        (4 * h * h);
      const second = (g: (x: number) => number) => (g(h) - 2 * g(0) + g(-h)) / (h * h);
      const a = second((x) => logLikelihood(counts, m + x, s));
      const d = second((x) => logLikelihood(counts, m, s + x));
      const covariance = mixed / (a * d - mixed * mixed);
      const variance =
        byMean ** 2 * standardError! ** 2 +
        byDeviation ** 2 * deviationStandardError! ** 2 +
        2 * byMean * byDeviation * covariance;
      const { lower, upper } = meanOfStudies!.interval!;
      const width = Math.log(upper / (1 - upper)) - Math.log(lower / (1 - lower));
      // Second differences of step 1e-3 hold about 1e-5 of the curvature.
      expect(Math.abs(width / (2 * Math.sqrt(z(0.95) * variance)) - 1)).toBeLessThan(1e-4);
    }
  });

  test('studies that share one rate: no statistic, p of 1, and mean and median are one number', () => {
    const fit = fitBinomialNormal([
      { events: 5, total: 50 },
      { events: 10, total: 100 },
      { events: 2, total: 20 },
    ]);
    expect(fit).toMatchObject({
      status: 'boundary',
      likelihoodRatio: { statistic: 0, pValue: 1 },
      deviationStandardError: undefined,
    });
    expect(fit.meanOfStudies).toEqual({ rate: fit.rate, interval: fit.interval });
  });

  test('the p value is half the chi-square tail', () => {
    const { likelihoodRatio } = fitBinomialNormal(countSets[2]!.counts);
    expectClose(likelihoodRatio!.pValue, chiSquareUpperTail(likelihoodRatio!.statistic, 1) / 2, 'identity');
  });

  test('one study: nothing is said of differences, and its profile interval is that of one binomial rate', () => {
    const level = 0.95;
    const counts = [{ events: 9, total: 30 }];
    const fit = fitBinomialNormal(counts, { interval: 'profile-likelihood', level });
    expect(fit).toMatchObject({
      status: 'one-study',
      meanOfStudies: undefined,
      likelihoodRatio: undefined,
      deviationStandardError: undefined,
    });
    const l = (p: number) => 9 * Math.log(p) + 21 * Math.log1p(-p);
    for (const limit of [fit.interval!.lower, fit.interval!.upper])
      expectClose(2 * (l(0.3) - l(limit)), z(level), 'specialFunctionTail');
    expectJsonSafe(fit);
  });

  test('an unknown interval names those there are', () => {
    expect(() => fitBinomialNormal([], { interval: 'exact' as never })).toThrow(
      'interval must be one of wald, profile-likelihood, received "exact"',
    );
  });
});

describe('mean difference with one variance for both arms', () => {
  const group = ([mean, standardDeviation, total]: readonly [number, number, number]) => ({
    mean,
    standardDeviation,
    total,
  });

  test.each(reference.means)(
    'as the two-sample t test',
    ({ treated, comparator, difference, standardError }) => {
      const { value, variance } = meanDifference(
        { study: 'a', label: 'Ostrava 2015', treated: group(treated), comparator: group(comparator) },
        { variance: 'pooled' },
      );
      expectClose(value, difference, 'specialFunction');
      expectClose(Math.sqrt(variance), standardError, 'specialFunction');
    },
  );

  test('an unknown formula names those there are', () => {
    const [{ treated, comparator }] = reference.means as [Reference['means'][number]];
    expect(() =>
      meanDifference(
        { study: 'a', label: 'Ostrava 2015', treated: group(treated), comparator: group(comparator) },
        { variance: 'large-sample' as never },
      ),
    ).toThrow('variance must be one of separate, pooled; received large-sample');
  });
});

/** `E logit⁻¹(m + s z)` by the trapezoidal rule, exact to rounding. */
function meanRate(m: number, s: number): number {
  const step = 0.02;
  let sum = 0;
  for (let u = -10; u <= 10; u += step) sum += Math.exp((-u * u) / 2) / (1 + Math.exp(-m - s * u));
  return (sum * step) / Math.sqrt(2 * Math.PI);
}

/** The mean of the log odds at which studies with deviation `s` have the mean rate `rate`, by halving. */
function meanFor(rate: number, s: number): number {
  let low = -30;
  let high = 30;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (meanRate(middle, s) < rate) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** The binomial-normal log-likelihood by the trapezoidal rule over a wide, fine grid. */
function logLikelihood(
  counts: readonly { readonly events: number; readonly total: number }[],
  mean: number,
  deviation: number,
): number {
  const step = 0.02;
  let sum = 0;
  for (const { events, total } of counts) {
    let integral = 0;
    let logChoose = 0;
    for (let i = 1; i <= events; i++) logChoose += Math.log((total - events + i) / i);
    for (let u = -9; u <= 9; u += step) {
      const logOdds = mean + deviation * u;
      const logRate = -Math.log1p(Math.exp(-logOdds));
      integral += Math.exp(
        logChoose + events * logRate + (total - events) * (logRate - logOdds) - (u * u) / 2,
      );
    }
    sum += Math.log((integral * step) / Math.sqrt(2 * Math.PI));
  }
  return sum;
}

/** The largest value over deviations of zero and more, by golden section after a look at a grid. */
function highestOver(f: (deviation: number) => number): number {
  const grid = [0, 0.05, 0.1, 0.2, 0.3, 0.45, 0.6, 0.8, 1, 1.3, 1.7, 2.2, 3, 4, 6];
  const values = grid.map(f);
  const at = values.indexOf(Math.max(...values));
  let low = grid[Math.max(0, at - 1)]!;
  let high = grid[Math.min(grid.length - 1, at + 1)]!;
  const golden = (Math.sqrt(5) - 1) / 2;
  let a = high - golden * (high - low);
  let b = low + golden * (high - low);
  let fa = f(a);
  let fb = f(b);
  for (let i = 0; i < 42; i++) {
    if (fa > fb) {
      high = b;
      b = a;
      fb = fa;
      a = high - golden * (high - low);
      fa = f(a);
    } else {
      low = a;
      a = b;
      fa = fb;
      b = low + golden * (high - low);
      fb = f(b);
    }
  }
  return Math.max(fa, fb, values[at]!);
}
