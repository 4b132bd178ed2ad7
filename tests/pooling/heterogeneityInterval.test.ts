import { describe, expect, test } from 'vitest';
import { poolEstimates } from '../../src/pooling/poolEstimates.ts';
import { expectClose } from '../helpers/close.ts';
import { estimatesOf } from './estimates.ts';

/** Studies of variance 1 whose Q is exactly the one asked for: one pair away from nought, the others at nought. */
const heterogeneityWith = (q: number, count: number, level = 0.95) => {
  const away = Math.sqrt(q / 2);
  const values = Array.from({ length: count }, (_, i) => (i === 0 ? away : i === 1 ? -away : 0));
  return poolEstimates(estimatesOf(values, Array(count).fill(1)), { level }).heterogeneity!;
};

// Standard normal quantile to 15 digits (tables; Abramowitz and Stegun 1964, table 26.5).
const z = 1.959963984540054;

// Higgins JPT, Thompson SG, Stat Med 2002;21:1539-1558, section 3 and appendix A.2: I² = 0 where Q is below its degrees of
// freedom, that is H = 1 and ln H = 0; then exp(ln H ± z SE) with SE = sqrt((1 - 1 / (3 (k - 2)²)) / (2 (k - 2))).
describe('I² of studies that agree more closely than chance', () => {
  test.each([3, 4, 5, 8, 13, 25])('%i studies: the interval of H = 1, whatever Q below k - 1', (count) => {
    const standardError = Math.sqrt((1 - 1 / (3 * (count - 2) ** 2)) / (2 * (count - 2)));
    const upper = 1 - Math.exp(-2 * z * standardError);
    for (const share of [0, 1e-9, 0.01, 0.3, 0.7, 0.999]) {
      const { iSquared, iSquaredInterval, hSquaredInterval } = heterogeneityWith(share * (count - 1), count);
      expect(iSquared).toBe(0);
      expect(iSquaredInterval).toBeDefined();
      expect(iSquaredInterval!.lower).toBe(0);
      expectClose(iSquaredInterval!.upper, upper, 'specialFunction');
      expectClose(hSquaredInterval!.upper, Math.exp(2 * z * standardError), 'specialFunction');
    }
  });

  test('five studies: 0 to 0.79', () => {
    expect(heterogeneityWith(0.4, 5).iSquaredInterval!.upper.toFixed(2)).toBe('0.79');
  });

  test('between k - 1 and k the value itself, not 1, is the centre', () => {
    const { iSquaredInterval } = heterogeneityWith(4.5, 5);
    const standardError = Math.sqrt((1 - 1 / 27) / 6);
    expectClose(
      iSquaredInterval!.upper,
      1 - 1 / ((4.5 / 4) * Math.exp(2 * z * standardError)),
      'specialFunction',
    );
  });

  test('two studies with Q at most 2: the standard deviation of half a log chi-square, π / √8', () => {
    // Var(ln χ²₁) = ψ'(1/2) = π²/2 (Abramowitz and Stegun 1964, 6.4.4 and 26.4).
    for (const q of [0, 0.2, 1])
      expectClose(
        heterogeneityWith(q, 2).iSquaredInterval!.upper,
        1 - Math.exp((-2 * z * Math.PI) / Math.sqrt(8)),
        'specialFunction',
      );
  });

  test('every count, Q and level has an interval around the value', () => {
    for (const count of [2, 3, 6, 40])
      for (const q of [0, 0.5, 1, 1.5, 2, count - 1, count, count + 0.001, 3 * count])
        for (const level of [0.5, 0.95, 0.999999]) {
          const { iSquared, iSquaredInterval } = heterogeneityWith(q, count, level);
          expect(iSquaredInterval).toBeDefined();
          expect(iSquaredInterval!.lower).toBeLessThanOrEqual(iSquared);
          expect(iSquaredInterval!.upper).toBeGreaterThan(iSquared);
          expect(iSquaredInterval!.upper).toBeLessThan(1);
        }
  });
});
