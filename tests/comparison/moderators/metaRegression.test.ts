// Meta-regression: defining equations, invariants, the pool as its special case, permutations, awkward data.
import { describe, expect, it } from 'vitest';
import type { Covariate, RegressionRow } from '../../../src/comparison/moderators/covariate.ts';
import { designMatrix } from '../../../src/comparison/moderators/designMatrix.ts';
import { fitMetaRegression } from '../../../src/comparison/moderators/fitMetaRegression.ts';
import { regressionTests } from '../../../src/comparison/moderators/metaRegression.ts';
import { permutationTest } from '../../../src/comparison/moderators/permutationTest.ts';
import { predictRegression } from '../../../src/comparison/moderators/predictRegression.ts';
import { quickSlope } from '../../../src/comparison/moderators/quickSlope.ts';
import { regressionSample } from '../../../src/comparison/moderators/regressionSample.ts';
import { residualLikelihood } from '../../../src/comparison/moderators/residualLikelihood.ts';
import { notReported } from '../../../src/extraction/reported.ts';
import { chiSquareQuantile } from '../../../src/numerics/distributions.ts';
import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { varianceEstimators } from '../../../src/pooling/poolOptions.ts';
import { expectAllClose, expectClose } from '../../helpers/close.ts';
import { age, design, estimate, numpyReference, rowsOf, share } from './referenceRows.ts';

const rows = rowsOf(numpyReference.regressions[0]);
const covariates = [age, share, design];
const codes = (result: { cautions: readonly { code: string }[] }) => result.cautions.map(({ code }) => code);
const change = (id: string, to: (value: number) => number): RegressionRow[] =>
  rows.map((row) => ({ ...row, covariates: { ...row.covariates, [id]: to(Number(row.covariates[id])) } }));

describe.each(varianceEstimators)('%s', (betweenStudyVariance) => {
  const base = fitMetaRegression(rows, covariates, { betweenStudyVariance }).fit!;

  it('without covariates is the pool', () => {
    for (const [test, interval] of [
      ['wald', 'wald'],
      ['knapp-hartung', 'hartung-knapp'],
      ['truncated-knapp-hartung', 'truncated-hartung-knapp'],
    ] as const) {
      const { fit } = fitMetaRegression(rows, [], { betweenStudyVariance, test });
      const pool = poolEstimates(
        rows.map((row) => row.estimate),
        { betweenStudyVariance, interval },
      );
      const [mean] = fit!.coefficients;
      expectClose(mean!.value, pool.mean!.value, 'iterative');
      expectClose(mean!.standardError, pool.mean!.standardError, 'iterative');
      expectClose(mean!.interval.lower, pool.mean!.interval.lower, 'iterative');
      expectClose(fit!.residual.betweenStudyVariance, pool.heterogeneity!.betweenStudyVariance, 'iterative');
      expectClose(fit!.residual.q, pool.heterogeneity!.q, 'iterative');
      const ours = fit!.residual.betweenStudyVarianceInterval!;
      const theirs = pool.heterogeneity!.betweenStudyVarianceInterval!;
      expectAllClose([ours.lower, ours.upper], [theirs.lower, theirs.upper], 'iterative');
    }
    const regression = fitMetaRegression(rows, [], { betweenStudyVariance, test: 'wald' });
    const pool = poolEstimates(
      rows.map((row) => row.estimate),
      { betweenStudyVariance },
    );
    const predicted = predictRegression(regression, {})!.prediction!;
    expectClose(predicted.upper, pool.prediction!.upper, 'iterative');
  });

  it('does not depend on the order of studies', () => {
    const turned = fitMetaRegression([...rows].reverse(), covariates, { betweenStudyVariance }).fit!;
    expectAllClose(
      turned.coefficients.map(({ value }) => value),
      base.coefficients.map(({ value }) => value),
      'iterative',
    );
  });

  it('moves with the zero point and the unit of a covariate as it must', () => {
    const moved = fitMetaRegression(
      change('age', (value) => 12 * value + 2014),
      covariates,
      { betweenStudyVariance },
    ).fit!;
    expectClose(12 * moved.coefficients[1]!.value, base.coefficients[1]!.value, 'iterative');
    expectClose(moved.coefficients[1]!.pValue, base.coefficients[1]!.pValue, 'iterative');
    expectClose(moved.coefficients[2]!.value, base.coefficients[2]!.value, 'iterative');
    expectAllClose(
      moved.points.map(({ fitted }) => fitted),
      base.points.map(({ fitted }) => fitted),
      'iterative',
    );
  });

  it('gives the same fit whatever the reference level', () => {
    const other: Covariate = { ...design, reference: 'trial' } as Covariate;
    const recoded = fitMetaRegression(rows, [age, share, other], { betweenStudyVariance }).fit!;
    expectClose(recoded.coefficients[1]!.value, base.coefficients[1]!.value, 'iterative');
    expectClose(recoded.jointTests.at(2)!.statistic, base.jointTests.at(2)!.statistic, 'iterative');
    expectAllClose(
      recoded.points.map(({ fitted }) => fitted),
      base.points.map(({ fitted }) => fitted),
      'iterative',
    );
  });

  it('shifting all values shifts the intercept alone; leverages add up to the columns', () => {
    const lifted = rows.map((row) => ({
      ...row,
      estimate: { ...row.estimate, value: row.estimate.value + 3 },
    }));
    const { fit } = fitMetaRegression(lifted, covariates, { betweenStudyVariance });
    expectClose(fit!.coefficients[0]!.value, base.coefficients[0]!.value + 3, 'iterative');
    expectClose(fit!.coefficients[2]!.value, base.coefficients[2]!.value, 'iterative');
    expectClose(
      base.points.reduce((sum, { leverage }) => sum + leverage, 0),
      5,
      'specialFunction',
    );
  });
});

describe('defining equations', () => {
  it('weighted residuals are at right angles to every column', () => {
    const { fit } = fitMetaRegression(rows, covariates);
    const tau = fit!.residual.betweenStudyVariance;
    for (const column of [() => 1, (row: RegressionRow) => Number(row.covariates.age)]) {
      const products = fit!.points.map(
        (point) => (point.residual * column(point)) / (point.estimate.variance + tau),
      );
      const size = products.reduce((sum, product) => sum + Math.abs(product), 0);
      expect(Math.abs(products.reduce((sum, product) => sum + product, 0))).toBeLessThan(1e-10 * size);
    }
  });

  it('Q at the limits of the residual variance is its chi-square quantile', () => {
    const { lower, upper } = fitMetaRegression(rows, covariates).fit!.residual.betweenStudyVarianceInterval!;
    const qAt = (given: number): number => {
      const { fit } = fitMetaRegression(rows, covariates, { betweenStudyVariance: { given } });
      return fit!.points.reduce(
        (sum, { residual, estimate: { variance } }) => sum + residual ** 2 / (variance + given),
        0,
      );
    };
    expectClose(qAt(upper), chiSquareQuantile(0.025, 17), 'specialFunctionTail');
    if (lower > 0) expectClose(qAt(lower), chiSquareQuantile(0.975, 17), 'specialFunctionTail');
  });

  it.each(regressionTests)('%s: the limits of an interval are where p is one less the level', (test) => {
    const result = fitMetaRegression(rows, covariates, { test, level: 0.9 });
    const { value, interval, standardError } = result.fit!.coefficients[1]!;
    const shifted = rows.map((row) => ({
      ...row,
      estimate: {
        ...row.estimate,
        value: row.estimate.value - interval.lower * Number(row.covariates.age),
      },
    }));
    const variance = { given: result.fit!.residual.betweenStudyVariance };
    const at = fitMetaRegression(shifted, covariates, { test, betweenStudyVariance: variance }).fit!;
    expectClose(at.coefficients[1]!.pValue, 0.1, 'iterative');
    expectClose(at.coefficients[1]!.standardError, standardError, 'iterative');
    expect(interval.lower < value && value < interval.upper).toBe(true);
  });

  it('predicts at chosen values what the row with those values is fitted with', () => {
    const result = fitMetaRegression(rows, covariates);
    const point = result.fit!.points[3]!;
    const prediction = predictRegression(result, point.covariates)!;
    expectClose(prediction.value, point.fitted, 'iterative');
    expect(prediction.outside).toEqual([]);
    expect(prediction.prediction!.upper).toBeGreaterThan(prediction.interval.upper);
    const far = predictRegression(result, { ...point.covariates, age: 20, design: 'elsewhere' })!;
    expect(far.outside).toEqual(['age', 'design']);
  });
});

describe.each([true, false])('likelihood of the residual variance, restricted %s', (restricted) => {
  const sample = regressionSample(designMatrix(rows, covariates));
  it.each([0, 0.01, 0.3, 5])('slopes at %d: quick, careful and by differences', (variance) => {
    const step = 1e-6 * (variance + 0.1);
    const at = (place: number) => residualLikelihood(sample, place, restricted);
    expectClose(quickSlope(sample, restricted)(variance), at(variance).slope, 'iterative');
    if (variance > 0) {
      const slope = (at(variance + step).logLikelihood - at(variance - step).logLikelihood) / (2 * step);
      expectClose(at(variance).slope, slope, 'otherLibrary', { ofSize: 1 });
    }
  });
});

describe('permutations', () => {
  const few = rows.slice(0, 6);

  it('takes every order when there are few, and agrees with counting them by hand', () => {
    const regression = fitMetaRegression(few, [age], { betweenStudyVariance: 'dersimonian-laird' });
    const result = permutationTest(regression)!;
    expect(result.basis).toBe('all');
    expect(result.orders).toBe(720);
    const real = regression.fit!.coefficients[1]!.statistic ** 2;
    let extreme = 0;
    const visit = (left: RegressionRow[], taken: RegressionRow[]): void => {
      if (left.length === 0) {
        const mixed = taken.map((row, index) => ({ ...row, covariates: few[index]!.covariates }));
        const { fit } = fitMetaRegression(mixed, [age], { betweenStudyVariance: 'dersimonian-laird' });
        if (fit!.coefficients[1]!.statistic ** 2 >= real * (1 - 1e-9)) extreme++;
      }
      left.forEach((row, index) => {
        visit(left.toSpliced(index, 1), [...taken, row]);
      });
    };
    visit(few, []);
    expect(result.tests[0]!.asExtreme).toBe(extreme);
    expectClose(result.tests[0]!.pValue, extreme / 720, 'identity');
  });

  it('is the same for the same seed, and near the exact answer for another', () => {
    const regression = fitMetaRegression(few, [age], { betweenStudyVariance: 'dersimonian-laird' });
    const exact = permutationTest(regression)!.tests[0]!.pValue;
    const drawn = (seed: number) => permutationTest(regression, { permutations: 700, seed })!;
    expect(drawn(3)).toEqual(drawn(3));
    expect(drawn(3).basis).toBe('sampled');
    // Four standard errors of a proportion of 700 draws.
    expect(Math.abs(drawn(3).tests[0]!.pValue - exact)).toBeLessThan(
      4 * Math.sqrt((exact * (1 - exact)) / 700) + 1 / 700,
    );
  });

  it('refuses rows that share a study, and has no answer without a covariate', () => {
    const shared = rows.map((row) => ({ ...row, estimate: { ...row.estimate, study: 'one' } }));
    expect(() => permutationTest(fitMetaRegression(shared, [age]))).toThrow(/different studies/);
    expect(permutationTest(fitMetaRegression(rows, []))).toBeUndefined();
    expect(() => permutationTest(fitMetaRegression(rows, [age]), { permutations: 3 })).toThrow(
      /permutations/,
    );
  });
});

describe('awkward data', () => {
  it('a covariate not reported is named and never filled in', () => {
    const holed = rows.map((row, index) =>
      index === 2 || index === 5 ? { ...row, covariates: { ...row.covariates, age: notReported } } : row,
    );
    const result = fitMetaRegression(holed, covariates);
    expect(result.leftOut.map(({ label, reason }) => [label, reason])).toEqual([
      ['Place 2', 'not reported: mean age'],
      ['Place 5', 'not reported: mean age'],
    ]);
    const without = fitMetaRegression(
      rows.filter((_, index) => index !== 2 && index !== 5),
      covariates,
    );
    expect(result.fit!.coefficients).toEqual(without.fit!.coefficients);
    expect(codes(result)).toContain('covariate-missing');
  });

  it('a covariate that repeats another is dropped in words, and the fit is that of the first alone', () => {
    const twin: Covariate = { id: 'months', name: 'Age in months', kind: 'continuous' };
    const twins = rows.map((row) => ({
      ...row,
      covariates: { ...row.covariates, months: 12 * Number(row.covariates.age) + 7 },
    }));
    const result = fitMetaRegression(twins, [age, twin]);
    expect(result.dropped.map(({ id, reason }) => [id, reason])).toEqual([
      ['months', 'it follows from age: their effects cannot be told apart'],
    ]);
    expect(result.fit!.coefficients).toEqual(fitMetaRegression(rows, [age]).fit!.coefficients);
    expect(codes(result)).toContain('term-dropped');
  });

  it('a covariate that is the same everywhere is dropped in words', () => {
    const result = fitMetaRegression(
      change('age', () => 55),
      [age],
    );
    expect(result.dropped[0]!.reason).toBe('it is the same in every row');
    expect(result.fit!.coefficients).toHaveLength(1);
  });

  it('no more rows than columns: nothing fitted, and said', () => {
    const result = fitMetaRegression(rows.slice(0, 3), covariates);
    expect(result.fit).toBeUndefined();
    expect(codes(result)).toContain('too-few-rows');
    expect(predictRegression(result, {})).toBeUndefined();
    expect(permutationTest(result)).toBeUndefined();
    expect(fitMetaRegression([], [age]).fit).toBeUndefined();
  });

  it('warns below ten studies for each column, or refuses on request', () => {
    expect(codes(fitMetaRegression(rows, covariates))).toContain('few-studies-per-covariate');
    expect(codes(fitMetaRegression(rows, [age]))).not.toContain('few-studies-per-covariate');
    const refused = fitMetaRegression(rows, covariates, { fewStudies: 'refuse' });
    expect(refused.fit).toBeUndefined();
    expect(refused.cautions[0]!.message).toMatch(/22 studies for 4 columns/);
  });

  it('values without scatter around the line: no certainty is claimed', () => {
    const straight = rows.map((row, index) => ({
      ...row,
      estimate: estimate(index, 1 + Number(row.covariates.age), 0.1),
    }));
    const { fit } = fitMetaRegression(straight, [age]);
    expectClose(fit!.coefficients[1]!.value, 1, 'iterative');
    expect(fit!.coefficients[1]!.standardError).toBeGreaterThan(0.001);
    expect(fit!.residual.betweenStudyVariance).toBe(0);
  });

  it('a year of 2014 beside a share: no digits lost to the size of the intercept', () => {
    const years = change('age', (value) => 1e6 + value);
    expectClose(
      fitMetaRegression(years, [age]).fit!.coefficients[1]!.value,
      fitMetaRegression(rows, [age]).fit!.coefficients[1]!.value,
      'iterative',
    );
  });

  it('refuses misuse in words', () => {
    expect(() => fitMetaRegression(rows, [age, age])).toThrow(/"age" is given twice/);
    expect(() => fitMetaRegression(rows, [{ ...design, reference: 'nowhere' } as Covariate])).toThrow(
      /one of cohort, series, trial, received "nowhere"/,
    );
    expect(() => fitMetaRegression(rows, [{ ...design, kind: 'continuous' } as Covariate])).toThrow(
      /must be a finite number/,
    );
    expect(() => fitMetaRegression(rows, [age], { test: 'z' as never })).toThrow(/knapp-hartung/);
    expect(() => fitMetaRegression(rows, [age], { betweenStudyVariance: { given: -1 } })).toThrow(/-1/);
    expect(() => fitMetaRegression(rows, [age], { unknown: 1 } as never)).toThrow(/unknown option/);
    expect(() => predictRegression(fitMetaRegression(rows, [age]), {})).toThrow(
      /a value of age must be given/,
    );
  });
});
