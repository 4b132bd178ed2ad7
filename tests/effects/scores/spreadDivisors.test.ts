import { describe, expect, it } from 'vitest';
import { normalOrderStatistic } from '../../../src/effects/scores/normalOrderStatistic.ts';
import { quartileDivisor, rangeDivisor } from '../../../src/effects/scores/spreadDivisors.ts';
import { expectClose, expectPrinted } from '../../helpers/close.ts';
import { printedValue, published, recomputedList } from '../../published/published.ts';
import ordered from '../../reference/scoresOrderStatistics.json' with { type: 'json' };
import spread from '../../reference/scoresSpread.json' with { type: 'json' };

const wan = published('sd-from-range-or-quartiles');
const rangeRow = 'divisor of the range, n = 1 to 50';
const quartileRow = 'divisor of the interquartile range, Q = 1 to 10';
const table1 = printedValue(wan, rangeRow).printed as readonly string[];
const table2 = printedValue(wan, `${quartileRow} (n = 5, 9, ..., 41)`).printed as readonly string[];

describe('divisors of range and interquartile range', () => {
  it('reproduces Table 1 of Wan et al. 2014, all but the slip at n = 12', () => {
    for (let n = 2; n <= 50; n += 1) {
      if (n === 12) continue;
      expectPrinted(rangeDivisor(n), table1[n - 1]!);
    }
    // The journal prints 3.259; the integral is 3.25846 (base R and mpmath agree below).
    expect(table1[11]).toBe('3.259');
    expectPrinted(rangeDivisor(12), '3.25846');
  });

  it('reproduces Table 2 of Wan et al. 2014 (ten values from memory)', () => {
    for (const [i, printed] of table2.entries()) expectPrinted(quartileDivisor(4 * (i + 1) + 1), printed);
  });

  it('agrees with base R integrate', () => {
    // R loses digits in its factorials (lgamma) as n grows, hence the tier.
    for (const { n, value } of spread.rangeDivisor)
      expectClose(rangeDivisor(n), value, 'specialFunctionTail');
    for (const { n, value } of spread.quartileDivisor)
      expectClose(quartileDivisor(n), value, 'specialFunctionTail');
  });

  it('agrees with mpmath at 40 digits, and with scipy', () => {
    for (const { rank, n, mpmath, scipy } of ordered.orderStatistics) {
      expectClose(normalOrderStatistic(rank, n), Math.abs(mpmath) < 1e-30 ? 0 : mpmath, 'identity', {
        ofSize: 1,
      });
      expectClose(normalOrderStatistic(rank, n), Math.abs(mpmath) < 1e-30 ? 0 : scipy, 'specialFunction', {
        ofSize: 1,
      });
    }
    for (const { rank, n, scipy } of ordered.largeOrderStatistics) {
      expectClose(normalOrderStatistic(rank, n), scipy, 'iterative');
    }
  });

  it('has the closed forms known for two and three values, and mirrors itself', () => {
    // David and Nagaraja, Order Statistics, 2003: 1/sqrt(pi), 3/(2 sqrt(pi)).
    expectClose(normalOrderStatistic(2, 2), 1 / Math.sqrt(Math.PI), 'identity');
    expectClose(normalOrderStatistic(3, 3), 1.5 / Math.sqrt(Math.PI), 'identity');
    for (const n of [4, 9, 30, 301]) {
      let sum = 0;
      for (let rank = 1; rank <= n; rank += 1) sum += normalOrderStatistic(rank, n);
      expectClose(sum, 0, 'identity', { ofSize: n });
    }
  });

  it('obeys the recurrence that ties samples of n and n - 1: r E(r+1:n) + (n-r) E(r:n) = n E(r:n-1)', () => {
    // David and Nagaraja 2003, relation 3.4.1, holds for any parent distribution.
    for (const [r, n] of [
      [1, 5],
      [3, 8],
      [20, 41],
      [99, 250],
      [4000, 5000],
    ] as const) {
      const left = r * normalOrderStatistic(r + 1, n) + (n - r) * normalOrderStatistic(r, n);
      expectClose(left, n * normalOrderStatistic(r, n - 1), 'specialFunction', { ofSize: n });
    }
  });

  it('has the closed forms of the papers close by: the printed approximations of Wan 2014, equations 9 and 16', () => {
    const range = recomputedList(wan, rangeRow, 'approximation 2 z((n-0.375)/(n+0.25))');
    const quartiles = recomputedList(wan, quartileRow, 'approximation 2 z((0.75n-0.125)/(n+0.25)), n = 4Q+1');
    for (let n = 2; n <= 50; n += 1)
      expectClose(rangeDivisor(n, 'closed-form'), range[n - 1]!, 'specialFunction');
    for (let q = 1; q <= 10; q += 1)
      expectClose(quartileDivisor(4 * q + 1, 'closed-form'), quartiles[q - 1]!, 'specialFunction');
    // For a normal population the quartiles lie 1.349 standard deviations apart (Wan 2014, text below Table 2).
    expectPrinted(quartileDivisor(100_001), '1.349');
  });

  it('refuses what has no divisor', () => {
    expect(() => rangeDivisor(1)).toThrow('sampleSize must be a whole number of at least 2; received 1');
    expect(() => quartileDivisor(2.5)).toThrow(
      'sampleSize must be a whole number of at least 2; received 2.5',
    );
    expect(() => rangeDivisor(9, 'table' as 'integral')).toThrow(
      'form must be one of integral, closed-form; received "table"',
    );
    expect(() => normalOrderStatistic(4, 3)).toThrow('rank must be at most sampleSize (3); received 4');
  });
});
