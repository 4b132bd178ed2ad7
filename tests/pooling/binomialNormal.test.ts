import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Count } from '../../src/effects/estimate.ts';
import { fitBinomialNormal } from '../../src/pooling/fitBinomialNormal.ts';
import { expectClose, expectPrinted } from '../helpers/close.ts';
import { runs } from '../helpers/runs.ts';
import { expectJsonSafe, expectNear } from './estimates.ts';

interface ReferenceFit {
  readonly id: string;
  readonly events: number[];
  readonly totals: number[];
  readonly mean: number;
  readonly standardError: number;
  readonly deviation: number;
  readonly logLikelihood: number;
}
const reference = JSON.parse(
  readFileSync(new URL('./reference/binomialNormalReference.json', import.meta.url), 'utf8'),
) as { made: string; sets: ReferenceFit[] };

const countsOf = (set: { events: number[]; totals: number[] }): Count[] =>
  set.events.map((events, i) => ({ events, total: set.totals[i]! }));

/**
 * Log-likelihood by the trapezoidal rule over a wide, fine grid, nothing shared with the library. For a smooth
 * integrand that vanishes at both ends the rule is accurate to rounding.
 */
function logLikelihoodByGrid(counts: readonly Count[], mean: number, deviation: number): number {
  const step = 0.01;
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

describe(`against ${reference.made}`, () => {
  test.each(reference.sets)('$id', (set) => {
    const fit = fitBinomialNormal(countsOf(set));
    expect(fit.status).toBe('converged');
    expect(fit.reason).toBeUndefined();
    expectClose(fit.mean, set.mean, 'otherLibrary');
    expectClose(fit.standardError, set.standardError, 'otherLibrary');
    expectClose(fit.betweenStudyDeviation, set.deviation, 'otherLibrary');
    expectClose(fit.logLikelihood, set.logLikelihood, 'specialFunctionTail');
  });
});

test('surgical mortality: the fit recomputed with 100-point quadrature by lme4', () => {
  // Data: Spiegelhalter DJ et al., BUGS Examples volume 1, Surgical. The published analysis is Bayesian; these are the
  // digits to which lme4 glmer(nAGQ = 100) with its default optimiser has converged.
  const fit = fitBinomialNormal(countsOf(reference.sets[0]!), { quadraturePoints: 100 });
  expectPrinted(fit.mean, '-2.54396');
  expectPrinted(fit.standardError, '0.1350');
  expectPrinted(fit.betweenStudyDeviation! ** 2, '0.1279');
});

describe('the answer put back into its defining equations', () => {
  test.each(reference.sets)('$id', (set) => {
    const counts = countsOf(set);
    const fit = fitBinomialNormal(counts, { quadraturePoints: 60 });
    const at = (mean: number, deviation: number) => logLikelihoodByGrid(counts, mean, deviation);
    const m = fit.mean!;
    const s = fit.betweenStudyDeviation!;
    expectClose(fit.logLikelihood, at(m, s), 'specialFunctionTail');
    // Five-point differences of the grid likelihood: score zero, and the observed information behind the SE.
    const h = 1e-2;
    const slope = (f: (x: number) => number) => (f(-2 * h) - 8 * f(-h) + 8 * f(h) - f(2 * h)) / (12 * h);
    const bend = (f: (x: number) => number) =>
      (-f(-2 * h) + 16 * f(-h) - 30 * f(0) + 16 * f(h) - f(2 * h)) / (12 * h * h);
    const information = -bend((x) => at(m + x, s));
    expect(Math.abs(slope((x) => at(m + x, s)))).toBeLessThan(1e-5 * Math.sqrt(information));
    expect(Math.abs(slope((x) => at(m, s + x)))).toBeLessThan(1e-5 * Math.sqrt(-bend((x) => at(m, s + x))));
    const mixed = slope((x) => slope((y) => at(m + x, s + y)));
    const d = -bend((x) => at(m, s + x));
    expectClose(fit.standardError! ** 2, d / (information * d - mixed * mixed), 'otherLibrary');
  });

  test('rare events with one outlying arm: Gauss-Hermite is too coarse, and the finer answer holds', () => {
    const counts = [75, 178, 25, 95, 15, 18].map((total, i) => ({ events: i === 5 ? 2 : 0, total }));
    const fit = fitBinomialNormal(counts);
    expect(fit.status).toBe('converged');
    expect(fit.quadrature).toBe('trapezoidal');
    expect(fit.reason).toContain('trapezoidal');
    const m = fit.mean!;
    const s = fit.betweenStudyDeviation!;
    const top = logLikelihoodByGrid(counts, m, s);
    expectClose(fit.logLikelihood, top, 'specialFunctionTail');
    for (const [dm, ds] of [
      [0.02, 0],
      [-0.02, 0],
      [0, 0.02],
      [0, -0.02],
      [-0.02, 0.02],
    ]) {
      expect(logLikelihoodByGrid(counts, m + dm!, s + ds!)).toBeLessThan(top);
    }
    // lme4 glmer(nAGQ = 25) stops where its own quadrature is off in the third decimal of the likelihood.
    expect(logLikelihoodByGrid(counts, -8.418022829, 3.888048698)).toBeLessThan(top);
  });

  test('no nearby point is more likely', () => {
    for (const set of reference.sets) {
      const counts = countsOf(set);
      const fit = fitBinomialNormal(counts);
      for (const [dm, ds] of [
        [1e-3, 0],
        [-1e-3, 0],
        [0, 1e-3],
        [0, -1e-3],
      ]) {
        expect(logLikelihoodByGrid(counts, fit.mean! + dm!, fit.betweenStudyDeviation! + ds!)).toBeLessThan(
          fit.logLikelihood! + 1e-9,
        );
      }
    }
  });
});

describe('awkward data are results with a reason', () => {
  const counts = (...pairs: [number, number][]): Count[] =>
    pairs.map(([events, total]) => ({ events, total }));

  test.each([
    ['nothing-to-pool', []],
    ['no-events', counts([0, 12], [0, 40])],
    ['all-events', counts([12, 12], [40, 40])],
    ['not-converged', counts([0, 20], [20, 20])],
  ] as const)('%s', (status, data) => {
    const fit = fitBinomialNormal(data);
    expect(fit.status).toBe(status);
    expect(fit.reason).toMatch(/\w+ .*\.$/);
    expect(fit.mean).toBeUndefined();
    expect(fit.rate).toBeUndefined();
    expectJsonSafe(fit);
  });

  test('studies that agree: the deviation is 0, the mean is that of all shoulders together', () => {
    const fit = fitBinomialNormal(counts([5, 50], [10, 100], [2, 20]));
    expect(fit.status).toBe('boundary');
    expect(fit.reason).toContain('0');
    expect(fit.betweenStudyDeviation).toBe(0);
    expectClose(fit.rate, 17 / 170, 'identity');
    // Information of a plain binomial on the logit scale: n p (1 - p).
    expectClose(fit.standardError, 1 / Math.sqrt(170 * 0.1 * 0.9), 'identity');
  });

  test('one study: its own rate and binomial standard error, no deviation and no prediction', () => {
    const fit = fitBinomialNormal(counts([9, 30]));
    expect(fit.betweenStudyDeviation).toBeUndefined();
    expect(fit.status).toBe('one-study');
    expect(fit.reason).toContain('one study: how much studies differ cannot be known');
    expect(fit.reason).not.toContain('share one rate');
    expectClose(fit.rate, 0.3, 'identity');
    expectClose(fit.standardError, 1 / Math.sqrt(30 * 0.3 * 0.7), 'identity');
    expect(fit.prediction).toBeUndefined();
  });

  test('several arms of one study are still one study: their shoulders together', () => {
    const arms = counts([3, 20], [5, 20], [4, 25]).map((count) => ({ ...count, study: 'quay' }));
    const fit = fitBinomialNormal(arms);
    expect(fit.betweenStudyDeviation).toBeUndefined();
    expect(fit.prediction).toBeUndefined();
    expectClose(fit.rate, 12 / 65, 'identity');
    expectClose(fit.standardError, 1 / Math.sqrt(12 * (53 / 65)), 'identity');
    const two = fitBinomialNormal(arms.map((arm, i) => (i === 2 ? { ...arm, study: 'mole' } : arm)));
    expect(two.betweenStudyDeviation).toBeDefined();
  });

  test('arms of one shoulder each carry no word on variation', () => {
    const fit = fitBinomialNormal(counts([0, 1], [1, 1], [0, 1], [0, 1]));
    expect(fit.status).toBe('boundary');
    expectClose(fit.rate, 0.25, 'identity');
  });

  test('a giant arm gives the likelihood two peaks: the highest is reported, the other named', () => {
    const data = counts([0, 20], [2, 31], [4000, 1_000_000], [1, 25]);
    const fit = fitBinomialNormal(data);
    expect(fit.status).toBe('boundary');
    const second = Number(
      /second, lower peak at a between-study deviation of ([\d.]+)/.exec(fit.reason!)?.[1],
    );
    // By the grid, the profile falls, then rises to a lower peak near a deviation of 1.1.
    const profile = (deviation: number): number => {
      let best = Number.NEGATIVE_INFINITY;
      for (let mean = -6.5; mean < -3; mean += 0.02) {
        best = Math.max(
          best,
          logLikelihoodByGrid(data.slice(0, 2).concat(data[3]!), mean, deviation) + giant(mean, deviation),
        );
      }
      return best;
    };
    // The giant arm pins its own log odds to within 0.016, so its likelihood is the normal density there.
    const giantLogOdds = Math.log(4000 / 996_000);
    const giant = (mean: number, deviation: number): number => {
      const variance = deviation ** 2 + 1 / 4000 + 1 / 996_000;
      return -0.5 * Math.log(variance) - (giantLogOdds - mean) ** 2 / (2 * variance);
    };
    expect(profile(second)).toBeGreaterThan(profile(second * 0.6));
    expect(profile(second)).toBeGreaterThan(profile(second * 1.6));
    expect(profile(second)).toBeLessThan(profile(0.001));
    expectJsonSafe(fit);
  });
});

test('relabelling events as non-events mirrors the fit; order does not matter', () => {
  const set = reference.sets[3]!;
  const counts = countsOf(set);
  const fit = fitBinomialNormal(counts);
  const mirrored = fitBinomialNormal(counts.map(({ events, total }) => ({ events: total - events, total })));
  const reversed = fitBinomialNormal([...counts].reverse());
  expectNear(mirrored.mean, -fit.mean!, 'iterative', 1);
  expectClose(mirrored.betweenStudyDeviation, fit.betweenStudyDeviation!, 'iterative');
  expectClose(mirrored.rate, 1 - fit.rate!, 'iterative');
  expectClose(reversed.mean, fit.mean!, 'iterative');
  expectClose(reversed.standardError, fit.standardError!, 'iterative');
});

test('any valid counts give finite numbers, and rates within their limits', () => {
  const count = fc
    .integer({ min: 1, max: 2000 })
    .chain((total) => fc.record({ events: fc.integer({ min: 0, max: total }), total: fc.constant(total) }));
  const rare = fc
    .integer({ min: 1, max: 200 })
    .chain((total) =>
      fc.record({ events: fc.integer({ min: 0, max: Math.min(2, total) }), total: fc.constant(total) }),
    );
  fc.assert(
    fc.property(
      fc.array(fc.oneof(count, rare), { maxLength: 12 }),
      fc.constantFrom(7, 25),
      (counts, points) => {
        const fit = fitBinomialNormal(counts, { quadraturePoints: points });
        expectJsonSafe(fit);
        if (fit.status === 'converged' || fit.status === 'boundary') {
          const { lower, upper } = fit.interval!;
          expect(0 <= lower && lower <= fit.rate! && fit.rate! <= upper && upper <= 1).toBe(true);
          if (fit.prediction) {
            expect(fit.prediction.lower <= lower && upper <= fit.prediction.upper).toBe(true);
          }
        } else {
          expect(fit.reason).toBeTypeOf('string');
        }
      },
    ),
    { numRuns: runs(500) },
  );
});

test('misuse names the bound and the value received', () => {
  expect(() => fitBinomialNormal([{ events: 5, total: 4 }])).toThrow(
    'events of count 1 must be a whole number from 0 to 4, received 5',
  );
  expect(() => fitBinomialNormal([{ events: 0, total: 0 }])).toThrow(
    'total of count 1 must be a whole number above 0, received 0',
  );
  expect(() => fitBinomialNormal([], { quadraturePoints: 3 })).toThrow(
    'quadraturePoints must be a whole number from 7 to 100, received 3',
  );
  expect(() => fitBinomialNormal([], { level: 95 })).toThrow('received 95');
  expect(() => fitBinomialNormal([], { points: 7 } as never)).toThrow('quadraturePoints, level');
});
