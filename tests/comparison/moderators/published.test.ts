// Published meta-regressions: printed values at their printed digits, and the same quantities as recomputed at 40
// digits. Data, citations and the origin of each value: tests/published.
import { describe, expect, it } from 'vitest';
import type { Covariate, RegressionRow } from '../../../src/comparison/moderators/covariate.ts';
import { fitMetaRegression } from '../../../src/comparison/moderators/fitMetaRegression.ts';
import type { MetaRegressionOptions } from '../../../src/comparison/moderators/metaRegression.ts';
import { poolEstimates } from '../../../src/pooling/poolEstimates.ts';
import { expectClose, expectPrinted } from '../../helpers/close.ts';
import { numberIn, printedValue, published, recomputedNumber } from '../../published/published.ts';
import { estimate } from './referenceRows.ts';

const bcg = published('bcg-vaccine-meta-regression');
const latitude: Covariate = { id: 'latitude', name: 'Latitude', kind: 'continuous', unit: 'degree' };
const year: Covariate = { id: 'year', name: 'Year', kind: 'continuous', unit: 'year' };

const bcgRows = (ratio: 'odds' | 'risk'): RegressionRow[] =>
  bcg.rows.map((row, index) => {
    const [a, n1, c, n2] = ['events_treated', 'total_treated', 'events_control', 'total_control'].map(
      (column) => numberIn(row, column),
    ) as [number, number, number, number];
    const [b, d] = [n1 - a, n2 - c];
    const [value, variance] =
      ratio === 'odds'
        ? [Math.log((a * d) / (b * c)), 1 / a + 1 / b + 1 / c + 1 / d]
        : [Math.log(a / n1 / (c / n2)), 1 / a - 1 / n1 + 1 / c - 1 / n2];
    return {
      estimate: estimate(index, value!, variance!),
      covariates: { latitude: numberIn(row, 'latitude_degrees'), year: numberIn(row, 'year') },
    };
  });

describe('BCG: latitude and year, Handbook of Statistical Analyses Using R, chapter 17 (page seen)', () => {
  const rows = bcgRows('odds');
  // The trap: the page takes the between-study variance of the model WITHOUT covariates into the weights.
  const without = poolEstimates(rows.map((row) => row.estimate)).heterogeneity!.betweenStudyVariance;
  const { fit } = fitMetaRegression(rows, [latitude, year], { betweenStudyVariance: { given: without } });
  const scaled =
    'weighted linear model, weights 1/(variance + DerSimonian-Laird variance without covariates), residual-scaled standard errors';
  const quantities: Record<string, number> = {
    'F(2,10)': fit!.jointTests.at(-1)!.statistic,
    'p of F': fit!.jointTests.at(-1)!.pValue,
  };
  for (const { id, value, standardError, statistic, pValue } of fit!.coefficients)
    Object.assign(quantities, {
      [id]: value,
      [`${id} standard error`]: standardError,
      [`${id} t`]: statistic,
      [`${id} p`]: pValue,
    });

  it.each(Object.entries(quantities))('%s', (quantity, value) => {
    const method = quantity.endsWith(' p') ? `${scaled}, t(10)` : scaled;
    expectPrinted(value, printedValue(bcg, quantity, method).printed as string, {
      because: 'the page prints no more digits',
    });
    expectClose(value, recomputedNumber(bcg, quantity, method), 'iterative');
  });

  it('a residual between-study variance gives other numbers, as it should', () => {
    const own = fitMetaRegression(rows, [latitude, year], { betweenStudyVariance: 'dersimonian-laird' }).fit!;
    expect(Math.abs(own.coefficients[1]!.value - -0.02581)).toBeGreaterThan(0.002);
  });
});

const estimators = {
  'common effect (no residual between-study variance)': { model: 'common-effect' },
  'random effects, method of moments': { betweenStudyVariance: 'dersimonian-laird' },
  'random effects, maximum likelihood': { betweenStudyVariance: 'maximum-likelihood' },
  'random effects, restricted maximum likelihood': { betweenStudyVariance: 'restricted-maximum-likelihood' },
  'random effects, Paule-Mandel type': { betweenStudyVariance: 'paule-mandel' },
} as const satisfies Record<string, MetaRegressionOptions>;

describe.each(['risk', 'odds'] as const)('BCG: log %s ratio on latitude', (ratio) => {
  describe.each(Object.entries(estimators))('%s', (method, options) => {
    const rows = bcgRows(ratio);
    const wald = fitMetaRegression(rows, [latitude], { ...options, test: 'wald' }).fit!;
    const knappHartung = fitMetaRegression(rows, [latitude], options).fit!;
    const [intercept, slope] = wald.coefficients;
    const ours: Record<string, number> = {
      intercept: intercept!.value,
      'intercept standard error': intercept!.standardError,
      'slope per degree of latitude': slope!.value,
      'slope standard error': slope!.standardError,
      'slope z': slope!.statistic,
      'slope standard error, Knapp-Hartung (unfloored)': knappHartung.coefficients[1]!.standardError,
      'slope p, Knapp-Hartung t(k-2)': knappHartung.coefficients[1]!.pValue,
      'Q of the model': wald.jointTests.at(-1)!.statistic,
      'share of between-study variance explained': wald.varianceExplained ?? 0,
    };
    const names = new Set(
      bcg.recomputed.flatMap((group) => group.values).map((v) => `${v.quantity}|${v.method}`),
    );

    it('recomputed at 40 digits', () => {
      let checked = 0;
      for (const [quantity, value] of Object.entries(ours)) {
        const full = `log ${ratio} ratio: ${quantity}`;
        if (!names.has(`${full}|${method}`)) continue;
        expectClose(value, recomputedNumber(bcg, full, method), 'iterative', { label: full });
        checked++;
      }
      if (method.startsWith('random'))
        expectClose(
          wald.residual.betweenStudyVariance,
          recomputedNumber(bcg, `log ${ratio} ratio: residual between-study variance`, method),
          'iterative',
        );
      expect(checked).toBeGreaterThanOrEqual(5);
    });

    it('printed', () => {
      for (const { quantity, method: by, printed, because } of bcg.printed) {
        const name = quantity.replace(`log ${ratio} ratio: `, '');
        if (by !== method || name === quantity) continue;
        const value =
          name === 'residual between-study variance'
            ? wald.residual.betweenStudyVariance
            : name === 'residual Q at that variance'
              ? wald.residual.q
              : ours[name];
        expectPrinted(value, printed as string, {
          because: because ?? 'the page prints no more digits',
          label: name,
        });
      }
    });
  });
});

describe('teacher expectancy on weeks of prior contact (from memory)', () => {
  const teacher = published('teacher-expectancy');
  const weeks: Covariate = { id: 'weeks', name: 'Weeks of prior contact', kind: 'continuous', unit: 'week' };
  const rows = teacher.rows.map((row, index) => ({
    estimate: estimate(
      index,
      numberIn(row, 'standardizedMeanDifference'),
      numberIn(row, 'standardError') ** 2,
    ),
    // Contact of more than three weeks counts as three (Raudenbush SW, J Educ Psychol 1984;76:85-97).
    covariates: { weeks: Math.min(3, numberIn(row, 'weeksOfPriorContact')) },
  }));
  const { fit } = fitMetaRegression(rows, [weeks], { test: 'wald' });
  const method = 'regression on weeks, restricted maximum likelihood';
  const ours: Record<string, number> = {
    intercept: fit!.coefficients[0]!.value,
    'intercept standard error': fit!.coefficients[0]!.standardError,
    'slope per week': fit!.coefficients[1]!.value,
    'slope standard error': fit!.coefficients[1]!.standardError,
  };

  it.each(Object.entries(ours))('%s', (quantity, value) => {
    expectPrinted(value, printedValue(teacher, quantity, method).printed as string);
    expectClose(value, recomputedNumber(teacher, quantity, method), 'iterative');
  });

  it('leaves no variance between studies, and the printed residual Q', () => {
    expect(fit!.residual.betweenStudyVariance).toBe(0);
    expect(fit!.varianceExplained).toBe(1);
    expectPrinted(fit!.residual.q, printedValue(teacher, 'residual Q').printed as string);
  });
});
