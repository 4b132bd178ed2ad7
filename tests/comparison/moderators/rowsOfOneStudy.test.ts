// Against base R written out with N x N matrices (tests/reference/rowsOfOneStudy.R); methods: Hedges LV, Tipton E, Johnson MC,
// Res Synth Methods 2010;1:39-65; Tipton E, Psychol Methods 2015;20:375-393; Tipton E, Pustejovsky JE, J Educ Behav Stat
// 2015;40:604-634.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Covariate, RegressionRow } from '../../../src/comparison/moderators/covariate.ts';
import { fitMetaRegression } from '../../../src/comparison/moderators/fitMetaRegression.ts';
import { predictRegression } from '../../../src/comparison/moderators/predictRegression.ts';
import { regressArms } from '../../../src/comparison/moderators/regressArms.ts';
import { expectClose } from '../../helpers/close.ts';

interface Single {
  readonly value: number;
  readonly standardError: number;
  readonly degreesOfFreedom: number;
  readonly pValue: number;
  readonly reach: number;
}
interface Joint {
  readonly statistic: number;
  readonly numerator: number;
  readonly denominator: number;
  readonly pValue: number;
}
const reference = JSON.parse(
  readFileSync(new URL('../../reference/rowsOfOneStudy.json', import.meta.url), 'utf8'),
) as {
  tau2: number;
  rows: { study: string; site: string; age: number; value: number; variance: number }[];
  full: { coefficients: Single[]; covariance: number[][]; site: Joint; age: Joint; all: Joint };
  line: { coefficients: Single[]; age: Joint };
};

const rowsOf = (
  rows: readonly { study: string; site: string; age: number; value: number; variance: number }[],
) =>
  rows.map(
    ({ study, site, age, value, variance }, i): RegressionRow => ({
      estimate: {
        study,
        label: study,
        arm: `arm-${i}`,
        value,
        variance,
        scale: 'logit',
        addedToEachCell: 0,
        rows: [],
      },
      covariates: { site, age },
    }),
  );
const rows = rowsOf(reference.rows);
const site: Covariate = { id: 'site', name: 'Site', kind: 'categorical', reference: 'a' };
const age: Covariate = { id: 'age', name: 'Mean age', kind: 'continuous', unit: 'year' };
const options = { betweenStudyVariance: { given: reference.tau2 } };

describe('rows that share studies', () => {
  it.each([
    ['site and age', [site, age], reference.full],
    ['age', [age], reference.line],
  ] as const)(
    'on %s: standard errors, degrees of freedom and p from whole studies',
    (_, covariates, expected) => {
      const { fit } = fitMetaRegression(rows, covariates, options);
      for (const [i, single] of expected.coefficients.entries()) {
        const found = fit!.coefficients[i]!;
        expectClose(found.value, single.value, 'iterative');
        expectClose(found.standardError, single.standardError, 'iterative');
        expectClose(found.degreesOfFreedom, single.degreesOfFreedom, 'iterative');
        expectClose(found.pValue, single.pValue, 'iterative');
        expectClose(found.interval.upper - found.value, single.reach, 'iterative');
      }
    },
  );

  it('joint tests are the approximate Hotelling tests', () => {
    const tests = fitMetaRegression(rows, [site, age], options).fit!.jointTests;
    for (const name of ['site', 'age', 'all'] as const) {
      const found = tests.find(({ covariate }) => covariate === name)!;
      const expected = reference.full[name];
      expect(found.numerator).toBe(expected.numerator);
      expectClose(found.statistic, expected.statistic, 'iterative');
      expectClose(found.denominator, expected.denominator, 'iterative');
      expectClose(found.pValue, expected.pValue, 'iterative');
    }
  });

  it('of one column the joint test is its t squared, and the covariance its standard errors squared', () => {
    const { fit } = fitMetaRegression(rows, [age], options);
    const slope = fit!.coefficients[1]!;
    expectClose(fit!.jointTests[0]!.statistic, slope.statistic ** 2, 'iterative');
    expectClose(fit!.covariance[1]![1], slope.standardError ** 2, 'iterative');
  });

  it('the sentence says of how many studies, and that they are allowed for', () => {
    const { methodsSentence, studies, options: used } = fitMetaRegression(rows, [site, age]);
    expect(studies).toBe(14);
    expect(methodsSentence).toContain(
      `${rows.length} logit-transformed rates of 14 studies were regressed on site`,
    );
    expect(methodsSentence).toContain('robust to the dependence of rows of one study');
    expect(used.test).toBe('cluster-robust');
  });

  it('taken as independent only when asked for, and then it is said', () => {
    const asked = fitMetaRegression(rows, [age], { test: 'knapp-hartung' });
    expect(asked.methodsSentence).toContain('of 14 studies, taken as independent, were');
    expect(asked.cautions.map(({ message }) => message).join(' ')).toContain('makes intervals too short');
  });

  it('a study written twice tells no more than once', () => {
    const once = rows.filter(
      ({ estimate }, i) => rows.findIndex((row) => row.estimate.study === estimate.study) === i,
    );
    const twice = [...once, ...once];
    const one = fitMetaRegression(once, [age], { ...options, test: 'cluster-robust' }).fit!;
    const doubled = fitMetaRegression(twice, [age], options).fit!;
    expectClose(doubled.coefficients[1]!.value, one.coefficients[1]!.value, 'iterative');
    expectClose(doubled.coefficients[1]!.standardError, one.coefficients[1]!.standardError, 'iterative');
    expectClose(doubled.coefficients[1]!.pValue, one.coefficients[1]!.pValue, 'iterative');
  });

  it('a prediction is the intercept of a fit centred there', () => {
    const fitted = fitMetaRegression(rows, [age], options);
    const there = rows.map(({ estimate, covariates }) => ({
      estimate,
      covariates: { ...covariates, age: Number(covariates.age) - 60 },
    }));
    const centred = fitMetaRegression(there, [age], options).fit!.coefficients[0]!;
    const predicted = predictRegression(fitted, { age: 60 })!;
    expectClose(predicted.value, centred.value, 'iterative');
    expectClose(predicted.standardError, centred.standardError, 'iterative');
    expectClose(predicted.interval.upper, centred.interval.upper, 'iterative');
  });

  it('the order of rows decides nothing', () => {
    const one = fitMetaRegression(rows, [site, age]).fit!;
    const other = fitMetaRegression([...rows].reverse(), [site, age]).fit!;
    for (const [i, coefficient] of one.coefficients.entries()) {
      expectClose(other.coefficients[i]!.value, coefficient.value, 'iterative');
      expectClose(other.coefficients[i]!.standardError, coefficient.standardError, 'iterative');
    }
  });
});

describe('a level that one study alone has', () => {
  // Study s1 alone has site "e": it fits itself, so its scatter says nothing of how sure the difference is.
  const alone = rowsOf(reference.rows.map((row) => (row.study === 's1' ? { ...row, site: 'e' } : row)));

  it('takes its standard error from the model, larger than that of its own sampling', () => {
    const { fit, cautions, studies } = fitMetaRegression(alone, [site], options);
    const level = fit!.coefficients.find(({ level: name }) => name === 'e')!;
    const own = alone.filter(({ estimate }) => estimate.study === 's1');
    const sampling = 1 / own.reduce((sum, { estimate }) => sum + 1 / (estimate.variance + reference.tau2), 0);
    expect(level.standardError).toBeGreaterThan(Math.sqrt(sampling));
    expect(level.degreesOfFreedom).toBe(studies - fit!.coefficients.length);
    expect(cautions.map(({ code }) => code)).toContain('one-study');
  });

  it('also in the three-level model with robust errors', () => {
    const { fit, cautions } = regressArms(alone, [site]);
    const robust = fit!.contrasts.find(({ level, against }) => level === 'e' && against === 'a')!;
    const model = regressArms(alone, [site], { dependence: 'three-level' }).fit!.contrasts.find(
      ({ level, against }) => level === 'e' && against === 'a',
    )!;
    expectClose(robust.standardError, model.standardError, 'iterative');
    expect(cautions.map(({ code }) => code)).toContain('one-study');
  });
});

it('no more studies than coefficients are refused', () => {
  const few = rows.filter(({ estimate }) => ['s1', 's2', 's4', 's5'].includes(estimate.study));
  const { fit, cautions } = fitMetaRegression(few, [site, age]);
  expect(fit).toBeUndefined();
  expect(cautions[0]!.message).toContain('4 studies cannot carry');
});
