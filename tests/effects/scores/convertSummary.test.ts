import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convertSummary } from '../../../src/effects/scores/convertSummary.ts';
import {
  deviationFromSummary,
  deviationFromSummaryMethods,
} from '../../../src/effects/scores/deviationFromSummary.ts';
import type { FiveNumberSummary } from '../../../src/effects/scores/fiveNumberSummary.ts';
import { meanFromSummary, meanFromSummaryMethods } from '../../../src/effects/scores/meanFromSummary.ts';
import { quartileDivisor, rangeDivisor } from '../../../src/effects/scores/spreadDivisors.ts';
import { expectClose } from '../../helpers/close.ts';
import { published } from '../../published/published.ts';

const five = { minimum: 2, quartileLower: 5, median: 8, quartileUpper: 12, maximum: 21, total: 49 };
const range: FiveNumberSummary = { minimum: 2, median: 8, maximum: 21, total: 49 };
const quartiles: FiveNumberSummary = { quartileLower: 5, median: 8, quartileUpper: 12, total: 49 };
const codes = (result: { cautions: readonly { code: string }[] }) => result.cautions.map((each) => each.code);

/** Recomputed at 40 digits (mpmath) from the formulas of the named papers, on made-up numbers. */
const example = published('sd-from-range-or-quartiles');
const values = example.recomputed.flatMap((group) => group.values);
const recomputed = (quantity: string, method: string): number =>
  values.find((each) => each.quantity === quantity && each.method.startsWith(method))!.value as number;

describe('mean and standard deviation from the five numbers', () => {
  it('agrees with the formulas of Hozo, Wan, Luo and Shi recomputed at 40 digits', () => {
    const tier = 'specialFunction';
    expectClose(
      meanFromSummary(range, 'wan-2014'),
      recomputed('mean from minimum, median, maximum', 'Hozo'),
      tier,
    );
    expectClose(meanFromSummary(quartiles, 'wan-2014'), recomputed('mean from quartiles', 'Wan'), tier);
    expectClose(meanFromSummary(five, 'wan-2014'), recomputed('mean from five numbers', 'Bland'), tier);
    expectClose(meanFromSummary(range), recomputed('mean from minimum, median, maximum', 'Luo'), tier);
    expectClose(meanFromSummary(quartiles), recomputed('mean from quartiles', 'Luo'), tier);
    expectClose(meanFromSummary(five), recomputed('mean from five numbers', 'Luo'), tier);
    const closed = { method: 'wan-2014', divisor: 'closed-form' } as const;
    expectClose(deviationFromSummary(range, closed), recomputed('sd from range', 'Wan'), tier);
    expectClose(
      deviationFromSummary(quartiles, closed),
      recomputed('sd from interquartile range', 'Wan'),
      tier,
    );
    expectClose(deviationFromSummary(five, closed), recomputed('sd from five numbers', 'Wan'), tier);
    expectClose(deviationFromSummary(five), recomputed('sd from five numbers', 'Shi'), tier);
    const small = deviationFromSummary({ ...range, total: 15 }, { method: 'hozo-2005' });
    expectClose(small, recomputed('sd from minimum, median, maximum (small samples)', 'Hozo'), tier);
  });

  it('changes the rules of Hozo 2005 at 15, 25 and 70 people (as Wan 2014 restates them)', () => {
    const at = (total: number) => deviationFromSummary({ ...range, total }, { method: 'hozo-2005' });
    expectClose(at(16), 19 / 4, 'identity');
    expectClose(at(70), 19 / 4, 'identity');
    expectClose(at(71), 19 / 6, 'identity');
    expectClose(meanFromSummary({ ...range, total: 25 }, 'hozo-2005'), (2 + 16 + 21) / 4, 'identity');
    expect(meanFromSummary({ ...range, total: 26 }, 'hozo-2005')).toBe(8);
  });

  it('uses the integrals for Wan and the closed forms for Shi unless told otherwise, and says so', () => {
    expectClose(deviationFromSummary(range), 19 / rangeDivisor(49), 'identity');
    expectClose(deviationFromSummary(quartiles), 7 / quartileDivisor(49), 'identity');
    const share = 1 / (1 + 0.07 * 49 ** 0.6);
    const exact = share * (19 / rangeDivisor(49)) + (1 - share) * (7 / quartileDivisor(49));
    expectClose(deviationFromSummary(five, { divisor: 'integral' }), exact, 'identity');
    expect(convertSummary(five).options).toEqual({
      mean: 'luo-2018',
      standardDeviation: 'shi-2020',
      divisor: 'closed-form',
    });
    expect(convertSummary(quartiles).options).toEqual({
      mean: 'luo-2018',
      standardDeviation: 'wan-2014',
      divisor: 'integral',
    });
    expect(convertSummary(quartiles).source).toContain('Luo D');
    expect(convertSummary(quartiles).source).toContain('BMC Med Res Methodol 2014;14:135');
  });

  it('gives back normal populations: expected order statistics in, their mean and spread out', () => {
    // The divisors make the standard deviation unbiased for normal data, so at the expectations it is exact.
    for (const n of [5, 21, 41, 61]) {
      const halfRange = (12 * rangeDivisor(n)) / 2;
      const halfQuartiles = (12 * quartileDivisor(n)) / 2;
      const summary = {
        minimum: 80 - halfRange,
        quartileLower: 80 - halfQuartiles,
        median: 80,
        quartileUpper: 80 + halfQuartiles,
        maximum: 80 + halfRange,
        total: n,
      };
      for (const method of ['wan-2014', 'shi-2020'] as const) {
        expectClose(deviationFromSummary(summary, { method, divisor: 'integral' }), 12, 'identity');
      }
    }
  });

  it('takes the median as the mean of symmetric numbers, by every method', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 3000 }),
        fc.double({ min: -50, max: 150, noNaN: true }),
        fc.double({ min: 0, max: 20, noNaN: true }),
        fc.double({ min: 0, max: 30, noNaN: true }),
        (total, median, inner, outer) => {
          const summary = {
            minimum: median - inner - outer,
            quartileLower: median - inner,
            median,
            quartileUpper: median + inner,
            maximum: median + inner + outer,
            total,
          };
          for (const method of meanFromSummaryMethods) {
            expectClose(meanFromSummary(summary, method) - median, 0, 'identity', { ofSize: 200 });
          }
        },
      ),
    );
  });

  it('commutes with a change of scale and unit, by every method', () => {
    const increasing = fc
      .array(fc.double({ min: 0, max: 100, noNaN: true }), { minLength: 5, maxLength: 5 })
      .map((values) => values.sort((a, b) => a - b));
    fc.assert(
      fc.property(
        increasing,
        fc.integer({ min: 5, max: 300 }),
        fc.double({ min: 0.01, max: 20, noNaN: true }),
        fc.double({ min: -100, max: 100, noNaN: true }),
        (values, total, factor, shift) => {
          const build = (change: (value: number) => number): FiveNumberSummary => {
            const [minimum, quartileLower, median, quartileUpper, maximum] = values.map(change) as [
              number,
              number,
              number,
              number,
              number,
            ];
            return { minimum, quartileLower, median, quartileUpper, maximum, total };
          };
          const plain = build((value) => value);
          const stretched = build((value) => factor * value + shift);
          const size = factor * 100 + Math.abs(shift);
          for (const mean of meanFromSummaryMethods) {
            const off = meanFromSummary(stretched, mean) - (factor * meanFromSummary(plain, mean) + shift);
            expectClose(off, 0, 'identity', { ofSize: size });
          }
          for (const method of deviationFromSummaryMethods) {
            const expected = factor * deviationFromSummary(plain, { method });
            if (expected < 1e-6 * size) continue;
            expectClose(deviationFromSummary(stretched, { method }), expected, 'iterative');
          }
        },
      ),
    );
  });

  it('keeps a printed mean and converts only the spread', () => {
    const result = convertSummary({ ...quartiles, mean: 9.1 });
    expect(result.mean).toBe(9.1);
    expect(result.options.mean).toBe('as-printed');
    const { median: _median, ...without } = { ...quartiles, mean: 9.1 };
    const noMedian = convertSummary(without);
    expect(noMedian.standardDeviation).toBe(result.standardDeviation);
    expect(codes(noMedian)).toEqual(['skewness-not-tested']);
  });

  it('says what is doubtful: skewed, from a range, an older rule, no spread, near the end of the scale', () => {
    const skewed = convertSummary({ quartileLower: 0, median: 0.5, quartileUpper: 3, total: 41 });
    expect(codes(skewed)).toEqual(['converted-although-skewed']);
    expect(skewed.cautions[0]!.message).toContain('Converted although skewed');
    expect(codes(convertSummary(quartiles))).toEqual([]);
    expect(codes(convertSummary({ ...range, median: 11 }))).toEqual(['standard-deviation-from-range']);
    expect(codes(convertSummary({ ...range, median: 11 }, { standardDeviation: 'hozo-2005' }))).toContain(
      'older-rule',
    );
    const flat = convertSummary({ quartileLower: 8, median: 8, quartileUpper: 8, total: 30 });
    expect(flat.standardDeviation).toBe(0);
    expect(codes(flat)).toEqual(['skewness-not-tested', 'no-spread']);
    const ceiling = convertSummary(
      { quartileLower: 90, median: 95, quartileUpper: 100, total: 41 },
      { range: { minimum: 0, maximum: 100 } },
    );
    expect(codes(ceiling)).toEqual(['at-the-end-of-the-scale']);
    expect(ceiling.cautions[0]!.message).toContain('suspect exactly here');
  });

  it('refuses impossible input with name, bound and value', () => {
    const cases: readonly [() => unknown, string][] = [
      [
        () => convertSummary({ ...quartiles, median: 4 }),
        'median must be at least quartileLower (5); received 4',
      ],
      [
        () => convertSummary({ ...quartiles, median: 13 }),
        'quartileUpper must be at least median (13); received 12',
      ],
      [
        () => convertSummary({ ...five, maximum: 11 }),
        'maximum must be at least quartileUpper (12); received 11',
      ],
      [
        () => convertSummary({ minimum: 1, median: 4, total: 9 }),
        'maximum must be given beside minimum (1); received nothing',
      ],
      [() => convertSummary({ median: 4, total: 9 }), 'a median alone says nothing of the spread'],
      [
        () => convertSummary({ quartileLower: 1, quartileUpper: 2, total: 9 }),
        'median must be given to work out a mean',
      ],
      [
        () => convertSummary({ ...quartiles, total: 0 }),
        'total must be a whole number of at least 2; received 0',
      ],
      [
        () => convertSummary({ ...quartiles, median: Number.NaN }),
        'median must be a finite number; received NaN',
      ],
      [
        () => convertSummary(quartiles, { standardDeviation: 'shi-2020' }),
        'needs range and quartiles; allowed with the quartiles alone: wan-2014',
      ],
      [
        () => convertSummary(quartiles, { mean: 'hozo-2005' }),
        'needs minimum and maximum; allowed with quartiles alone: luo-2018, wan-2014',
      ],
      [
        () => convertSummary(quartiles, { mean: 'bland' as 'wan-2014' }),
        'mean must be one of luo-2018, wan-2014, hozo-2005; received "bland"',
      ],
      [
        () => convertSummary(quartiles, { sd: 'wan-2014' } as object),
        'unknown option "sd". Allowed: mean, standardDeviation, divisor, range',
      ],
    ];
    for (const [run, message] of cases) expect(run).toThrow(message);
  });
});
