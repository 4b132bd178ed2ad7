// What a regression predicts, worked out from the closed form of a straight line, and every caution of a regression on both
// sides of its border. Rows are invented.
import { describe, expect, it } from 'vitest';
import type { Covariate, RegressionRow } from '../../../src/comparison/moderators/covariate.ts';
import type { DesignMatrix } from '../../../src/comparison/moderators/designMatrix.ts';
import { fitMetaRegression } from '../../../src/comparison/moderators/fitMetaRegression.ts';
import type {
  MetaRegressionOptions,
  RegressionFit,
  ResolvedMetaRegressionOptions,
} from '../../../src/comparison/moderators/metaRegression.ts';
import { predictRegression } from '../../../src/comparison/moderators/predictRegression.ts';
import {
  dataCautions,
  regressionCautions,
  tooFewRows,
} from '../../../src/comparison/moderators/regressionCautions.ts';
import { expectClose } from '../../helpers/close.ts';
import { age, estimate } from './referenceRows.ts';

const site: Covariate = { id: 'site', name: 'Site', kind: 'categorical' };
const line = (
  ages: readonly number[],
  values: readonly number[],
  variances: readonly number[],
): RegressionRow[] =>
  ages.map((years, index) => ({
    estimate: estimate(index, values[index]!, variances[index]!),
    covariates: { age: years },
  }));
const codesOf = (cautions: readonly { readonly code: string }[]): readonly string[] =>
  cautions.map(({ code }) => code);

describe('predictRegression', () => {
  const ages = [40, 52, 58, 61, 70];
  const values = [0.2, 0.5, 0.3, 0.9, 0.8];
  const variances = [0.04, 0.02, 0.05, 0.03, 0.08];
  const given = 0.1;

  /** Weighted least squares of a straight line: value and standard error at x. Draper and Smith, 3rd edition, section 3.1. */
  const straight = (count: number, x: number): { readonly value: number; readonly error: number } => {
    const weights = variances.slice(0, count).map((variance) => 1 / (variance + given));
    const sum = (of: (index: number) => number): number =>
      weights.reduce((total, weight, index) => total + weight * of(index), 0);
    const total = sum(() => 1);
    const [meanX, meanY] = [sum((i) => ages[i]!) / total, sum((i) => values[i]!) / total];
    const spread = sum((i) => (ages[i]! - meanX) ** 2);
    const slope = sum((i) => (ages[i]! - meanX) * (values[i]! - meanY)) / spread;
    return {
      value: meanY + slope * (x - meanX),
      error: Math.sqrt(1 / total + (x - meanX) ** 2 / spread),
    };
  };
  const predict = (count: number, x: number, options: MetaRegressionOptions = {}) =>
    predictRegression(
      fitMetaRegression(line(ages.slice(0, count), values, variances), [age], {
        betweenStudyVariance: { given },
        test: 'wald',
        ...options,
      }),
      { age: x },
    )!;

  // Quantiles of the normal and of Student's t with 1 and 2 degrees of freedom at 0.975 (any table).
  const normal = 1.959963984540054;
  it.each<[rows: number, reach: number | undefined]>([
    // One degree of freedom fewer than the residual's rows - 2: none left of three rows, one of four, two of five.
    [3, undefined],
    [4, 12.706204736174694],
    [5, 4.302652729749462],
  ])('mean, interval and prediction of %d rows', (count, reach) => {
    for (const x of [40, 56, 80]) {
      const { value, error } = straight(count, x);
      const found = predict(count, x);
      expectClose(found.value, value, 'iterative');
      expectClose(found.standardError, error, 'iterative');
      expectClose(found.interval.lower, value - normal * error, 'iterative', { ofSize: 1 });
      expectClose(found.interval.upper, value + normal * error, 'iterative', { ofSize: 1 });
      expect(found.interval.level).toBe(0.95);
      if (reach === undefined) expect(found.prediction).toBeUndefined();
      else {
        const margin = reach * Math.sqrt(given + error ** 2);
        expectClose(found.prediction?.lower, value - margin, 'iterative', { ofSize: 1 });
        expectClose(found.prediction?.upper, value + margin, 'iterative', { ofSize: 1 });
        expect(found.prediction?.level).toBe(0.95);
      }
    }
  });

  it('Student’s t of the residual degrees of freedom for the mean under Knapp-Hartung', () => {
    const found = predict(4, 50, { test: 'truncated-knapp-hartung' });
    const reach = (found.interval.upper - found.value) / found.standardError;
    expectClose(reach, 4.302652729749462, 'iterative');
  });

  it('no prediction under a common effect, where no study has a value of its own', () => {
    const regression = fitMetaRegression(line(ages, values, variances), [age], { model: 'common-effect' });
    expect(predictRegression(regression, { age: 50 })!.prediction).toBeUndefined();
    expect(predictRegression(regression, { age: 50 })!.natural?.prediction).toBeUndefined();
  });

  it.each<[number, readonly string[]]>([
    [39.9, ['age']],
    [40, []],
    [55, []],
    [70, []],
    [70.1, ['age']],
  ])('at age %d, outside the rows seen: %j', (x, outside) => {
    expect(predict(5, x).outside).toEqual(outside);
  });

  it('a level no row has is outside; a covariate that is in no column is not asked for', () => {
    const rows = ages.map((years, index) => ({
      estimate: estimate(index, values[index]!, variances[index]!),
      covariates: { age: years, site: index % 2 === 0 ? 'tenotomy' : 'subpectoral' },
    }));
    const regression = fitMetaRegression(rows, [age, site]);
    expect(predictRegression(regression, { age: 50, site: 'tenotomy' })!.outside).toEqual([]);
    expect(predictRegression(regression, { age: 50, site: 'subpectoral' })!.outside).toEqual([]);
    expect(predictRegression(regression, { age: 50, site: 'suprapectoral' })!.outside).toEqual(['site']);
    expect(predictRegression(regression, { age: 10, site: 'suprapectoral' })!.outside).toEqual([
      'age',
      'site',
    ]);
    // The same in every row: no column, so no value of it is outside.
    const same = rows.map((row) => ({ ...row, covariates: { ...row.covariates, site: 'tenotomy' } }));
    expect(predictRegression(fitMetaRegression(same, [age, site]), { age: 50 })!.outside).toEqual([]);
  });
});

describe('cautions of a regression', () => {
  const options: ResolvedMetaRegressionOptions = {
    model: 'random-effects',
    betweenStudyVariance: 'restricted-maximum-likelihood',
    test: 'knapp-hartung',
    studiesPerCovariate: 10,
    fewStudies: 'caution',
    level: 0.95,
  };
  const designOf = (
    rowCount: number,
    termCount: number,
    studies: readonly string[] = Array.from({ length: rowCount }, (_, index) => `study-${index}`),
  ): DesignMatrix => ({
    rows: studies.map((study, index) => ({
      estimate: { ...estimate(index, 0, 1, study), label: study },
      covariates: {},
    })),
    leftOut: [],
    terms: Array.from({ length: termCount }, (_, index) => ({
      id: `x${index}`,
      covariate: `x${index}`,
      name: `X${index}`,
    })),
    dropped: [],
    references: {},
    columns: Array.from({ length: termCount + 1 }, () => new Float64Array(rowCount)),
  });
  const coefficient = (name: string, degreesOfFreedom: number, fromModel?: true) => ({
    name,
    degreesOfFreedom,
    ...(fromModel && { fromModel }),
  });
  const fitOf = (
    leverages: readonly number[],
    q = 1,
    coefficients: readonly ReturnType<typeof coefficient>[] = [],
  ): RegressionFit =>
    ({
      coefficients,
      points: leverages.map((leverage, index) => ({
        estimate: estimate(index, 0, 1),
        covariates: {},
        leverage,
      })),
      residual: { q },
    }) as unknown as RegressionFit;

  it.each<[rows: number, terms: number, studies: number, refuse: boolean, said: RegExp | undefined]>([
    [0, 1, 0, false, /^No row has every covariate reported\.$/],
    // As many rows as coefficients leave nothing over; one more does.
    [1, 0, 1, false, /^Nothing is fitted: 1 row cannot carry 1 coefficient\.$/],
    [2, 0, 2, false, undefined],
    [2, 1, 2, false, /^Nothing is fitted: 2 rows cannot carry 2 coefficients\.$/],
    [3, 1, 3, false, undefined],
    // Studies asked for: ten for each column beside the intercept, and only where refusal was chosen.
    [9, 1, 9, true, /^Nothing is fitted: 9 studies for 1 column, and at least 10 for each are asked for\.$/],
    [10, 1, 10, true, undefined],
    [19, 2, 19, true, /^Nothing is fitted: 19 studies for 2 columns, /],
    [20, 2, 20, true, undefined],
    // Studies are counted, not rows.
    [25, 2, 19, true, /^Nothing is fitted: 19 studies for 2 columns, /],
    [9, 1, 9, false, undefined],
  ])('%d rows, %d columns, %d studies, refusal %s: %s', (rows, terms, studies, refuse, said) => {
    const caution = tooFewRows(designOf(rows, terms), studies, {
      ...options,
      fewStudies: refuse ? 'refuse' : 'caution',
    });
    if (said === undefined) expect(caution).toBeUndefined();
    else expect(caution?.message).toMatch(said);
    if (said !== undefined)
      expect(caution?.code).toBe(
        rows === 0 ? 'nothing-to-pool' : rows <= terms + 1 ? 'too-few-rows' : 'few-studies-per-covariate',
      );
  });

  it.each<
    [
      string,
      number,
      number,
      Partial<ResolvedMetaRegressionOptions>,
      RegressionFit | undefined,
      readonly string[],
    ]
  >([
    ['a line with enough studies', 10, 1, {}, fitOf([0.3, 0.2]), ['between-study-contrast']],
    ['one study too few', 9, 1, {}, fitOf([0.3]), ['between-study-contrast', 'few-studies-per-covariate']],
    ['two columns, enough', 20, 2, {}, fitOf([0.3]), ['between-study-contrast']],
    [
      'two columns, one too few',
      19,
      2,
      {},
      fitOf([0.3]),
      ['between-study-contrast', 'few-studies-per-covariate'],
    ],
    [
      'fitted although refusal was asked for',
      9,
      1,
      { fewStudies: 'refuse' },
      fitOf([0.3]),
      ['between-study-contrast'],
    ],
    ['no covariate: no contrast, no few studies', 3, 0, {}, fitOf([0.9]), []],
    ['nothing fitted', 3, 1, {}, undefined, []],
    [
      'half of its own fitted value is not more than half',
      10,
      1,
      {},
      fitOf([0.5]),
      ['between-study-contrast'],
    ],
    ['more than half', 10, 1, {}, fitOf([0.51]), ['between-study-contrast', 'high-leverage']],
    ['no scatter left', 10, 1, {}, fitOf([0.2], 0), ['between-study-contrast', 'identical-estimates']],
    [
      'no scatter left, but Wald does not use it',
      10,
      1,
      { test: 'wald' },
      fitOf([0.2], 0),
      ['between-study-contrast'],
    ],
    ['some scatter', 10, 1, {}, fitOf([0.2], 1e-6), ['between-study-contrast']],
    [
      'no scatter left, but standard errors from whole studies do not use it',
      10,
      1,
      { test: 'cluster-robust' },
      fitOf([0.2], 0),
      ['between-study-contrast'],
    ],
    // Below 4 effective degrees of freedom the t distribution does not hold (Tipton 2015, Psychol Methods 20:375).
    [
      'fewer than four effective degrees of freedom',
      10,
      1,
      { test: 'cluster-robust' },
      fitOf([0.2], 1, [coefficient('Age', 3.99)]),
      ['between-study-contrast', 'few-degrees-of-freedom'],
    ],
    [
      'four effective degrees of freedom',
      10,
      1,
      { test: 'cluster-robust' },
      fitOf([0.2], 1, [coefficient('Age', 4)]),
      ['between-study-contrast'],
    ],
    [
      'few of them in a test that does not estimate them',
      10,
      1,
      {},
      fitOf([0.2], 1, [coefficient('Age', 1)]),
      ['between-study-contrast'],
    ],
    [
      'a column that one study alone tells of',
      10,
      1,
      { test: 'cluster-robust' },
      fitOf([0.2], 1, [coefficient('Age', 9), coefficient('Keyhole', 8, true)]),
      ['between-study-contrast', 'one-study'],
    ],
  ])('%s', (_, studies, terms, changed, fit, codes) => {
    expect(
      codesOf(regressionCautions(designOf(studies, terms), studies, { ...options, ...changed }, fit)),
    ).toEqual(codes);
  });

  it('says how many studies for how many columns, and which rows lead the line', () => {
    const cautions = regressionCautions(designOf(1, 1), 1, options, fitOf([0.8, 0.2, 0.6], 0));
    const said = (code: string): string | undefined => cautions.find((each) => each.code === code)?.message;
    expect(said('few-studies-per-covariate')).toMatch(/^1 study for 1 column, fewer than 10 for each: /);
    expect(said('high-leverage')).toMatch(/^Place 0, Place 2: more than half/);
    expect(said('between-study-contrast')).toMatch(/^Studies, not patients, are compared/);
    expect(said('identical-estimates')).toMatch(/^The fit leaves no scatter/);
    const two = regressionCautions(designOf(2, 2), 2, options, fitOf([0.2]));
    expect(two[1]?.message).toMatch(/^2 studies for 2 columns/);
  });

  it('rows left out with what is missing, columns dropped and why, studies that come twice', () => {
    expect(dataCautions(designOf(3, 1), false)).toEqual([]);
    const design: DesignMatrix = {
      ...designOf(4, 1, ['Elmford', 'Ashby', 'Elmford', 'Elmford']),
      leftOut: [
        { study: 'c', label: 'Corley 2015', arm: 'keyhole', reason: 'age is not reported', rows: [] },
      ],
      dropped: [
        { id: 'share', covariate: 'share', name: 'Cuff repair', reason: 'it is the same in every row' },
      ],
    };
    expect(dataCautions(design, false)).toEqual([
      {
        code: 'covariate-missing',
        message:
          '1 row left out, since a covariate is not reported (nothing is filled in): Corley 2015, keyhole (age is not reported).',
      },
      { code: 'term-dropped', message: 'Cuff repair is not in the model: it is the same in every row.' },
      {
        code: 'several-arms-of-one-study',
        message:
          'More than one row comes from Elmford: they are taken as independent, which makes intervals too short.',
      },
    ]);
    expect(dataCautions(design, true).at(-1)?.message).toBe(
      'More than one row comes from Elmford: standard errors come from whole studies, which allows for it.',
    );
    const leftOut = [
      { study: 'c', label: 'Corley 2015', reason: 'age is not reported', rows: [] },
      { study: 'd', label: 'Dunmore 2016', reason: 'age is not reported', rows: [] },
    ];
    const [left] = dataCautions({ ...design, leftOut }, false);
    expect(left?.message).toContain(
      '2 rows left out, since a covariate is not reported (nothing is filled in): Corley 2015 (age is not reported); Dunmore 2016 (age is not reported).',
    );
    // What is left out or dropped is said whether or not anything is fitted.
    expect(codesOf(regressionCautions(design, 2, options, undefined))).toEqual([
      'covariate-missing',
      'term-dropped',
      'several-arms-of-one-study',
    ]);
  });
});
