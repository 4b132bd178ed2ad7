import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  deviationFromIntervalOfDifference,
  deviationFromPValue,
  deviationFromStandardErrorOfDifference,
  deviationFromTStatistic,
} from '../../../src/effects/scores/deviationFromDifference.ts';
import { deviationFromInterval } from '../../../src/effects/scores/deviationFromInterval.ts';
import { deviationFromStandardError } from '../../../src/effects/scores/deviationFromStandardError.ts';
import { studentTQuantile, studentTUpperTail } from '../../../src/numerics/distributions.ts';
import { expectClose, expectPrinted } from '../../helpers/close.ts';
import { printedValue, published } from '../../published/published.ts';
import reference from '../../reference/scoresSpread.json' with { type: 'json' };

const handbook = published('handbook-sd-conversions');
const printed = (quantity: string): string => printedValue(handbook, quantity).printed as string;

describe('standard deviation from what is printed beside a mean', () => {
  it('reproduces the Cochrane Handbook, version 5.1 section 7.7.3.2 (interval of one mean)', () => {
    const result = deviationFromInterval({ lower: 30, upper: 34.2, level: 0.95, total: 25 });
    expectPrinted(result.standardDeviation, printed('sd'));
    expectPrinted((5 * 4.2) / result.standardDeviation, printed('divisor for the interval width'));
    expectClose(result.mean, 32.1, 'identity');
    expect(result.method).toContain('24 degrees of freedom');
  });

  it('reproduces the Cochrane Handbook, version 5.1 section 7.7.3.3 (P of a difference)', () => {
    const sizes = { treatedTotal: 25, comparatorTotal: 22 };
    const result = deviationFromPValue({ difference: 3.8, pValue: 0.008, ...sizes });
    const standardError = result.standardDeviation * Math.sqrt(1 / 25 + 1 / 22);
    expectPrinted(3.8 / standardError, printed('t for P = 0.008'));
    expectPrinted(standardError, printed('standard error of the difference'));
    // 4.69 follows from the rounded standard error; unrounded it is 4.683.
    const rounded = deviationFromStandardErrorOfDifference({ standardError: 1.37, ...sizes });
    expectPrinted(rounded.standardDeviation, printed('within-group sd'));
    expect(result.mean).toBeUndefined();
    expect(result.cautions.map((each) => each.code)).toEqual(['common-spread-assumed']);
  });

  it('agrees with base R (qt) over sizes, levels and P values down to 1e-12', () => {
    for (const row of reference.interval) {
      const input = { lower: row.lower, upper: row.upper, level: row.level, total: row.n };
      expectClose(deviationFromInterval(input).standardDeviation, row.deviation_t, 'specialFunctionTail');
      const normal = deviationFromInterval(input, { quantile: 'normal' });
      expectClose(normal.standardDeviation, row.deviation_normal, 'specialFunction');
      expect(normal.cautions.some((each) => each.code === 'normal-quantile-in-small-sample')).toBe(
        row.n < 60,
      );
    }
    for (const row of reference.pValue) {
      const result = deviationFromPValue({
        difference: row.difference,
        pValue: row.p,
        treatedTotal: row.treated,
        comparatorTotal: row.comparator,
      });
      expectClose(result.standardDeviation, row.deviation, 'specialFunctionTail');
    }
  });

  it('gives back the pooled standard deviation of two real samples from any figure of their t test in R', () => {
    const { difference, t, p, lower, upper, level, standardError, pooledDeviation } = reference.twoSamples;
    const sizes = { treatedTotal: 8, comparatorTotal: 7 };
    const results = [
      deviationFromTStatistic({ difference, tStatistic: t, ...sizes }),
      deviationFromPValue({ difference, pValue: p, ...sizes }),
      deviationFromStandardErrorOfDifference({ standardError, ...sizes }),
      deviationFromIntervalOfDifference({ lower, upper, level, ...sizes }),
    ];
    for (const result of results)
      expectClose(result.standardDeviation, pooledDeviation, 'specialFunctionTail');
    expect(new Set(results.map((each) => each.method)).size).toBe(4);
  });

  it('satisfies its defining equations', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 2000 }),
        fc.double({ min: 0.5, max: 0.999, noNaN: true }),
        fc.double({ min: 0.01, max: 50, noNaN: true }),
        (total, level, width) => {
          const sd = deviationFromInterval({ lower: 1, upper: 1 + width, level, total }).standardDeviation;
          const half = (studentTQuantile(1 - (1 - level) / 2, total - 1) * sd) / Math.sqrt(total);
          expectClose(2 * half, width, 'specialFunctionTail');
        },
      ),
    );
    fc.assert(
      fc.property(
        fc.integer({ min: 3, max: 400 }),
        fc.double({ min: 1e-10, max: 0.99, noNaN: true }),
        (treatedTotal, pValue) => {
          const sizes = { treatedTotal, comparatorTotal: 11 };
          const sd = deviationFromPValue({ difference: 2, pValue, ...sizes }).standardDeviation;
          const t = 2 / (sd * Math.sqrt(1 / treatedTotal + 1 / 11));
          expectClose(2 * studentTUpperTail(t, treatedTotal + 9), pValue, 'specialFunctionTail');
        },
      ),
    );
    expectClose(
      deviationFromStandardError({ standardError: 1.8, total: 36 }).standardDeviation,
      10.8,
      'identity',
    );
  });

  it('says when a figure was printed with so few digits that rounding moves the spread', () => {
    const error = (standardError: number) =>
      deviationFromStandardError({ standardError, total: 40 }).cautions;
    // 0.2 may be 0.15 to 0.25, a quarter either way; 0.24 may be 0.235 to 0.245.
    expect(error(0.2)).toEqual([
      {
        code: 'few-digits',
        message: 'Printed with so few digits that rounding alone can move the standard deviation by 25 %.',
      },
    ]);
    expect(error(0.24)).toEqual([]);
    expect(error(5)).toEqual([]);
    const interval = (lower: number, upper: number) =>
      deviationFromInterval({ lower, upper, level: 0.95, total: 40 }).cautions;
    expect(interval(1.7, 2.3).map((each) => each.code)).toEqual(['few-digits']);
    expect(interval(1.7, 3).map((each) => each.code)).toEqual([]);
  });

  it('flags "P < 0.05" used as 0.05, which can only make the spread too large', () => {
    const input = { difference: 3.8, treatedTotal: 25, comparatorTotal: 22 };
    const line = deviationFromPValue({ ...input, pValue: 0.05, relation: 'less-than' });
    expect(line.cautions[0]!.code).toBe('threshold-used-as-p-value');
    expect(line.cautions[0]!.message).toContain('conservative');
    for (const pValue of [0.049, 0.02, 0.001]) {
      expect(deviationFromPValue({ ...input, pValue }).standardDeviation).toBeLessThan(
        line.standardDeviation,
      );
    }
  });

  it('refuses impossible figures with name, bound and value', () => {
    const sizes = { treatedTotal: 25, comparatorTotal: 22 };
    const cases: readonly [() => unknown, string][] = [
      [
        () => deviationFromStandardError({ standardError: -1, total: 9 }),
        'standardError must be a finite number of at least 0; received -1',
      ],
      [
        () => deviationFromStandardError({ standardError: 1, total: 1 }),
        'total must be a whole number of at least 2; received 1',
      ],
      [
        () => deviationFromStandardError({ standardError: 1e308, total: 1e9 }),
        'standardDeviation is too large',
      ],
      [
        () => deviationFromInterval({ lower: 4, upper: 3, level: 0.95, total: 9 }),
        'upper must be at least lower (4); received 3',
      ],
      [
        () => deviationFromInterval({ lower: 3, upper: 4, level: 95, total: 9 }),
        'level must lie between 0 and 1, such as 0.95; received 95',
      ],
      [
        () => deviationFromInterval({ lower: 3, upper: 4, level: 0.95, total: 9, mean: 5 }),
        'mean must lie from lower (3) to upper (4); received 5',
      ],
      [
        () => deviationFromInterval({ lower: 3, upper: 4, level: 0.95, total: 9 }, { quantile: 'z' as 't' }),
        'quantile must be one of t, normal; received "z"',
      ],
      [
        () => deviationFromInterval({ lower: 3, upper: 4, level: 0.95, total: 9 }, { tail: 1 } as object),
        'unknown option "tail". Allowed: quantile',
      ],
      [
        () => deviationFromPValue({ difference: 3, pValue: 0, ...sizes }),
        'pValue must lie between 0 and 1, both excluded; received 0',
      ],
      [
        () => deviationFromPValue({ difference: 3, pValue: Number.NaN, ...sizes }),
        'pValue must lie between 0 and 1, both excluded; received NaN',
      ],
      [
        () => deviationFromPValue({ difference: 0, pValue: 0.5, ...sizes }),
        'difference must not be 0, which fits any spread; received 0',
      ],
      [
        () => deviationFromTStatistic({ difference: 3, tStatistic: 0, ...sizes }),
        'tStatistic must not be 0, which fits any spread; received 0',
      ],
      [
        () => deviationFromTStatistic({ difference: 3, tStatistic: 1, treatedTotal: 1, comparatorTotal: 1 }),
        'treatedTotal + comparatorTotal must be at least 3; received 2',
      ],
      [
        () => deviationFromIntervalOfDifference({ lower: 1, upper: 1, level: 0.95, ...sizes }),
        'upper - lower must be a finite number above 0; received 0',
      ],
    ];
    for (const [run, message] of cases) expect(run).toThrow(message);
    for (const [run] of cases) expect(run).toThrow(RangeError);
  });
});
