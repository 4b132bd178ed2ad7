// One arm's intervals against base R and scipy, exact tails put back, and every scale's way to a reader.
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { analysisScales } from '../../src/effects/analysisScale.ts';
import { naturalValue } from '../../src/effects/naturalValue.ts';
import {
  type RateIntervalMethod,
  rateInterval,
  rateIntervalMethods,
} from '../../src/effects/rateInterval.ts';
import { smallSampleFactor } from '../../src/effects/smallSampleFactor.ts';
import {
  binomialLowerTail,
  binomialUpperTail,
  chiSquareUpperTail,
} from '../../src/numerics/distributions.ts';
import { expectAllClose, expectAllPrinted, expectClose, expectPrinted } from '../helpers/close.ts';
import { printedValue, published, recomputedList } from '../published/published.ts';

type Limits = readonly [number, number];
type Row = { readonly events: number; readonly total: number; readonly level: number } & Partial<
  Record<RateIntervalMethod, Limits>
>;

const rowsOf = (name: string): readonly Row[] =>
  JSON.parse(readFileSync(new URL(`../reference/${name}.json`, import.meta.url), 'utf8')).rows;

describe.each([
  ['base R', 'proportions-r', 4, 'iterative'],
  ['scipy', 'proportions-scipy', 3, 'otherLibrary'],
] as const)('study intervals against %s', (_name, file, methods, tier) => {
  const rows = rowsOf(file);

  test.each(rateIntervalMethods)('%s', (method) => {
    let compared = 0;
    for (const row of rows) {
      const limits = row[method];
      if (limits === undefined) continue;
      const { lower, upper } = rateInterval(row, { method, level: row.level });
      expectAllClose([lower, upper], limits, tier, {
        label: `${method} of ${row.events}/${row.total} at ${row.level}`,
      });
      compared += 1;
    }
    expect([0, rows.length]).toContain(compared);
  });

  test('compares as many methods as the file promises', () => {
    expect(rateIntervalMethods.filter((method) => rows[0]?.[method] !== undefined)).toHaveLength(methods);
  });
});

test('Clopper-Pearson limits leave half the rest in the binomial tails themselves', () => {
  const counts = fc
    .integer({ min: 1, max: 3000 })
    .chain((total) => fc.record({ events: fc.integer({ min: 0, max: total }), total: fc.constant(total) }));
  fc.assert(
    fc.property(counts, fc.constantFrom(0.8, 0.95, 0.99), ({ events, total }, level) => {
      const { lower, upper } = rateInterval({ events, total }, { method: 'clopper-pearson', level });
      if (events > 0)
        expectClose(binomialUpperTail(events, total, lower), (1 - level) / 2, 'specialFunctionTail');
      if (events < total)
        expectClose(binomialLowerTail(events, total, upper), (1 - level) / 2, 'specialFunctionTail');
    }),
  );
});

test('a limit near 1 still leaves its tail when so few did not have the event', () => {
  const { lower } = rateInterval({ events: 5000, total: 5001 }, { method: 'clopper-pearson' });
  expectClose(binomialUpperTail(5000, 5001, lower), 0.025, 'specialFunctionTail');
});

describe('rule of three', () => {
  const three = published('rule-of-three');

  test.each([10, 20, 30, 100])('exact one-sided 95 %% bound for none of %i (table from memory)', (total) => {
    const { upper } = rateInterval({ events: 0, total }, { method: 'clopper-pearson', level: 0.9 });
    const { printed } = printedValue(three, `upper 95% one-sided bound, 0/${total}`);
    expectPrinted(upper, String(printed), { because: 'the table prints whole percentages' });
  });
});

describe('two published comparisons, chi-square without correction', () => {
  test.each([
    [
      'stiffness after arthroscopic or open tenodesis (Werner 2014, Arthroscopy 30:1075)',
      [19, 106],
      [8, 143],
      '.002',
    ],
    ['deformity after tenotomy or tenodesis (J Orthop Surg Res 2023;18)', [21, 40], [2, 15], '.009'],
  ] as const)('%s', (_name, [x1, n1], [x2, n2], printed) => {
    const cells = x1 * (n2 - x2) - x2 * (n1 - x1);
    const events = x1 + x2;
    const total = n1 + n2;
    const square = (cells * cells * total) / (n1 * n2 * events * (total - events));
    expectPrinted(chiSquareUpperTail(square, 1), printed, { because: 'one digit is what the page prints' });
  });
});

describe('small-sample factor', () => {
  const hedges = published('hedges-small-sample-factor');

  test('to 14 digits at 20 and 50 degrees of freedom', () => {
    const exact = recomputedList(hedges, 'factor, degrees of freedom 20 and 50', 'exact');
    expectAllClose([20, 50].map(smallSampleFactor), exact, 'specialFunction');
  });

  test('is not the usual approximation', () => {
    const approximate = recomputedList(hedges, 'factor, degrees of freedom 2 to 10, 20, 50');
    expect(Math.abs(smallSampleFactor(2) - approximate[0]!)).toBeGreaterThan(0.007);
  });

  test('satisfies J(m) J(m + 1) = (m - 1) / sqrt(m (m + 1)), from gamma(x + 1) = x gamma(x)', () => {
    for (const m of [1.5, 2, 3.7, 40, 399.5, 400, 401, 1000, 1e6])
      expectClose(
        smallSampleFactor(m) * smallSampleFactor(m + 1),
        (m - 1) / Math.sqrt(m * (m + 1)),
        'specialFunction',
        { label: `m = ${m}` },
      );
  });

  test('the nine printed factors (from memory)', () => {
    const { printed, within, because } = printedValue(hedges, 'factor, degrees of freedom 2 to 10');
    expectAllPrinted([2, 3, 4, 5, 6, 7, 8, 9, 10].map(smallSampleFactor), printed as readonly string[], {
      ...(within === undefined ? {} : { within }),
      ...(because === undefined ? {} : { because }),
    });
  });
});

describe('what a value on a scale means to a reader', () => {
  test.each(analysisScales)('%s: rises with the value, or there is no way back', (scale) => {
    fc.assert(
      fc.property(
        fc.double({ min: -800, max: 800, noNaN: true }),
        fc.double({ min: 0, max: 5, noNaN: true }),
        (value, more) => {
          const low = naturalValue(value, scale, { total: 40 });
          const high = naturalValue(value + more, scale, { total: 40 });
          for (const each of [low, high]) if (each !== undefined) expect(Number.isFinite(each)).toBe(true);
          if (low !== undefined && high !== undefined) expect(high).toBeGreaterThanOrEqual(low);
        },
      ),
    );
  });

  test('no effect is a ratio of 1 or a difference of 0', () => {
    for (const scale of ['log-odds-ratio', 'log-risk-ratio', 'log-ratio-of-means'] as const)
      expect(naturalValue(0, scale)).toBe(1);
    for (const scale of ['risk-difference', 'mean-difference', 'standardised-mean-difference'] as const)
      expect(naturalValue(0, scale)).toBe(0);
  });
});
