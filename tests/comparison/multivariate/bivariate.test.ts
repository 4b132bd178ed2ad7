// The bivariate model against numpy (likelihood written out, Nelder-Mead), its defining equations, and what it must
// do with awkward data. Script: tests/reference/moderators.py.
import { describe, expect, it } from 'vitest';
import { bivariateData, bivariatePoint } from '../../../src/comparison/multivariate/bivariateLikelihood.ts';
import { type BivariateUnit, pairOutcomes } from '../../../src/comparison/multivariate/bivariateUnits.ts';
import { fitBivariate } from '../../../src/comparison/multivariate/fitBivariate.ts';
import { chiSquareQuantile } from '../../../src/numerics/distributions.ts';
import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { expectAllClose, expectClose } from '../../helpers/close.ts';
import { estimate, numpyReference } from '../moderators/referenceRows.ts';

const set = numpyReference.bivariate;
const units: BivariateUnit[] = set.units.map(
  (unit: { first: [number, number] | null; second: [number, number] | null }, index: number) => ({
    study: `study-${index}`,
    label: `Place ${index}`,
    first: unit.first ? estimate(index, ...unit.first) : undefined,
    second: unit.second ? estimate(index, ...unit.second) : undefined,
  }),
);

describe('against numpy', () => {
  it.each<[number, object]>(set.fits.map((fit: object, index: number) => [index, fit]))(
    'fit %i',
    (...[, reference]) => {
      // biome-ignore lint/suspicious/noExplicitAny: a reference file is what its script wrote
      const expected = reference as any;
      const { fit } = fitBivariate(units, {
        correlationWithinStudy: expected.correlation,
        estimator: expected.restricted ? 'restricted-maximum-likelihood' : 'maximum-likelihood',
      });
      expect(fit!.status).toBe('converged');
      expectClose(fit!.logLikelihood, expected.logLikelihood, 'iterative');
      expectAllClose([fit!.first.value, fit!.second.value], expected.means, 'otherLibrary');
      expectAllClose([...fit!.covariance], expected.covariance, 'otherLibrary');
      expectAllClose(
        [fit!.first.betweenStudyVariance, fit!.second.betweenStudyVariance],
        [expected.between[0], expected.between[2]],
        'otherLibrary',
      );
      expectClose(
        fit!.correlationBetweenStudies,
        expected.between[1] / Math.sqrt(expected.between[0] * expected.between[2]),
        'otherLibrary',
      );
      const scaled = fitBivariate(units, {
        correlationWithinStudy: expected.correlation,
        interval: 'scaled',
        estimator: expected.restricted ? 'restricted-maximum-likelihood' : 'maximum-likelihood',
      }).fit!;
      expectClose(
        scaled.first.standardError,
        Math.sqrt((expected.covariance[0] * expected.q) / (33 - 2)),
        'otherLibrary',
      );
    },
  );
});

describe('defining equations', () => {
  it.each([true, false])('the slopes are those of the log-likelihood (restricted %s)', (restricted) => {
    const data = bivariateData(units, 0.3);
    const at = (between: [number, number, number]) => bivariatePoint(data, between, restricted)!;
    const place: [number, number, number] = [0.3, 0.05, 0.2];
    const step = 1e-5;
    for (const k of [0, 1, 2]) {
      const up: [number, number, number] = [...place];
      const down: [number, number, number] = [...place];
      up[k]! += step;
      down[k]! -= step;
      const slope = (at(up).logLikelihood - at(down).logLikelihood) / (2 * step);
      expectClose(at(place).score[k], slope, 'otherLibrary', { ofSize: 1 });
    }
  });

  it.each([0, 0.4, 0.6])('at the fit the slopes vanish (within-study correlation %d)', (correlation) => {
    const { fit } = fitBivariate(units, { correlationWithinStudy: correlation });
    const { first, second, correlationBetweenStudies: r } = fit!;
    const cross = r! * Math.sqrt(first.betweenStudyVariance * second.betweenStudyVariance);
    const { score } = bivariatePoint(
      bivariateData(units, correlation),
      [first.betweenStudyVariance, cross, second.betweenStudyVariance],
      true,
    )!;
    for (const slope of score) expect(Math.abs(slope)).toBeLessThan(1e-5);
  });

  it('at a correlation of one, no direction along the bound climbs, and the caution says so', () => {
    const { fit, cautions } = fitBivariate(units, { correlationWithinStudy: -0.4 });
    expect(fit!.status).toBe('converged');
    expect(cautions.map(({ code }) => code)).toContain('two-outcomes-correlation-at-bound');
    const [a, b] = [fit!.first, fit!.second].map((mean) => Math.sqrt(mean.betweenStudyVariance));
    const { score } = bivariatePoint(bivariateData(units, -0.4), [a! * a!, a! * b!, b! * b!], true)!;
    expect(Math.abs(2 * a! * score[0] + b! * score[1])).toBeLessThan(1e-5);
    expect(Math.abs(a! * score[1] + 2 * b! * score[2])).toBeLessThan(1e-5);
    expect(score[2]).toBeLessThan(0);
  });

  it('every point of the region lies at the chi-square distance from the means', () => {
    const { fit } = fitBivariate(units, { correlationWithinStudy: 0.2 });
    const [a, b, c] = fit!.covariance;
    const determinant = a * c - b * b;
    expect(fit!.region!.edge[0]).toEqual(fit!.region!.edge.at(-1));
    for (const [x, y] of fit!.region!.edge) {
      const [dx, dy] = [x - fit!.first.value, y - fit!.second.value];
      const distance = (c * dx * dx - 2 * b * dx * dy + a * dy * dy) / determinant;
      expectClose(distance, chiSquareQuantile(0.95, 2), 'specialFunctionTail');
    }
  });

  it('without a shared arm and without correlation it is two separate pools', () => {
    const first = units.flatMap((unit) => (unit.first ? [{ ...unit.first, study: `a-${unit.study}` }] : []));
    const second = units.flatMap((unit) => (unit.second ? [unit.second] : []));
    const { fit, cautions } = fitBivariate(pairOutcomes(first, second));
    for (const [mean, estimates] of [
      [fit!.first, first],
      [fit!.second, second],
    ] as const) {
      const pool = poolEstimates(estimates, { betweenStudyVariance: 'restricted-maximum-likelihood' });
      expectClose(mean.value, pool.mean!.value, 'otherLibrary');
      expectClose(mean.standardError, pool.mean!.standardError, 'otherLibrary');
    }
    expect(cautions.map(({ code }) => code)).toContain('outcomes-not-paired');
  });
});

describe('invariants', () => {
  const base = fitBivariate(units, { correlationWithinStudy: 0.3 }).fit!;

  it('does not depend on the order of arms', () => {
    const turned = fitBivariate([...units].reverse(), { correlationWithinStudy: 0.3 }).fit!;
    expectClose(turned.first.value, base.first.value, 'iterative');
    expectClose(turned.correlationOfMeans, base.correlationOfMeans, 'otherLibrary');
  });

  it('swapping the outcomes swaps the answer', () => {
    const swapped = units.map((unit) => ({ ...unit, first: unit.second, second: unit.first }));
    const other = fitBivariate(swapped, { correlationWithinStudy: 0.3 }).fit!;
    expectClose(other.second.value, base.first.value, 'iterative');
    expectClose(other.second.standardError, base.first.standardError, 'otherLibrary');
  });

  it('equal outcomes have equal means', () => {
    const same = units.flatMap((unit) => (unit.first ? [{ ...unit, second: unit.first }] : []));
    const { fit } = fitBivariate(same, { correlationWithinStudy: 0.5 });
    expectClose(fit!.first.value, fit!.second.value, 'otherLibrary');
  });
});

describe('awkward data', () => {
  it('one arm of an outcome: nothing fitted, and said', () => {
    const result = fitBivariate(units.slice(0, 1));
    expect(result.fit).toBeUndefined();
    expect(result.cautions[0]!.code).toBe('too-few-rows');
  });

  it('no arms at all', () => {
    expect(fitBivariate([]).fit).toBeUndefined();
  });

  it('two arms: a correlation at its bound or none is said, nothing is NaN', () => {
    const { fit, cautions } = fitBivariate(units.slice(0, 2));
    expect(Number.isFinite(fit!.first.standardError)).toBe(true);
    expect(cautions.length).toBeGreaterThan(0);
  });

  it('arms that do not vary', () => {
    const flat = units.slice(0, 4).map((unit, index) => ({
      ...unit,
      first: estimate(index, -2, 0.1),
      second: estimate(index, -1, 0.2),
    }));
    const { fit } = fitBivariate(flat);
    expectClose(fit!.first.value, -2, 'iterative');
    expectClose(fit!.first.standardError, Math.sqrt(0.1 / 4), 'otherLibrary');
    expect(fit!.correlationBetweenStudies).toBeUndefined();
  });

  it('refuses misuse in words', () => {
    expect(() => fitBivariate(units, { correlationWithinStudy: 1 })).toThrow(/between -1 and 1, received 1/);
    expect(() => fitBivariate(units, { level: 2 })).toThrow(/level/);
    const first = units[0]!.first!;
    expect(() => pairOutcomes([first, first], [])).toThrow(/one estimate of an outcome/);
  });
});
