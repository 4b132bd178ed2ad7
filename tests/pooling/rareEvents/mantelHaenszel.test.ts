import { describe, expect, it } from 'vitest';
import { oddsRatio, riskDifference, riskRatio } from '../../../src/effects/twoRates.ts';
import { poolTwoArms } from '../../../src/pooling/rareEvents/poolTwoArms.ts';
import { near, table, tablesOf } from './rareEventsHelpers.ts';

describe('Mantel-Haenszel', () => {
  it("Sato's variance has the right expectation under a common difference", () => {
    // Over all outcomes of two binomials: E[δP + Q] = Var[(a n₂ − c n₁)/N], Sato 1989.
    for (const [n1, n2, p1, p2] of [
      [4, 7, 0.3, 0.1],
      [9, 3, 0.05, 0.4],
      [6, 6, 0.5, 0.5],
    ] as const) {
      const delta = p1 - p2;
      const total = n1 + n2;
      const probability = (x: number, n: number, p: number): number => {
        let value = p ** x * (1 - p) ** (n - x);
        for (let j = 1; j <= x; j++) value *= (n - x + j) / j;
        return value;
      };
      let expectation = 0;
      let second = 0;
      for (let a = 0; a <= n1; a++) {
        for (let c = 0; c <= n2; c++) {
          const weight = probability(a, n1, p1) * probability(c, n2, p2);
          // One table alone: its squared standard error is (its own difference · P + Q)/W², linear in the difference.
          const w = (n1 * n2) / total;
          const own = a / n1 - c / n2;
          const p = (n1 * n1 * c - n2 * n2 * a + (n1 * n2 * (n2 - n1)) / 2) / total ** 2;
          const q = (a * (n2 - c) + c * (n1 - a)) / (2 * total);
          const pool = poolTwoArms([table('One', [a, n1], [c, n2])], {
            method: 'mantel-haenszel',
            measure: 'risk-difference',
          });
          if (pool.standardError !== undefined) near(pool.standardError ** 2 * w * w, own * p + q, 1e-12);
          expectation += weight * (delta * p + q);
          second += weight * ((a * n2 - c * n1) / total - delta * w) ** 2;
        }
      }
      near(expectation, second, 1e-12);
    }
  });

  it('one study: the crude odds ratio with the Woolf variance, the crude risk ratio, the crude difference', () => {
    const one = [table('One', [5, 40], [9, 44])];
    const ratio = poolTwoArms(one, { method: 'mantel-haenszel' });
    near(ratio.value, Math.log((5 * 35) / (35 * 9)), 1e-13);
    near(ratio.standardError, Math.sqrt(1 / 5 + 1 / 35 + 1 / 9 + 1 / 35), 1e-13);
    const risk = poolTwoArms(one, { method: 'mantel-haenszel', measure: 'risk-ratio' });
    near(risk.value, Math.log(5 / 40 / (9 / 44)), 1e-13);
    near(risk.standardError, Math.sqrt(1 / 5 - 1 / 40 + 1 / 9 - 1 / 44), 1e-13);
    for (const variance of ['greenland-robins', 'sato'] as const) {
      const difference = poolTwoArms(one, {
        method: 'mantel-haenszel',
        measure: 'risk-difference',
        variance,
      });
      near(difference.value, 5 / 40 - 9 / 44, 1e-13);
      if (variance === 'sato') continue;
      near(difference.standardError, Math.sqrt((5 * 35) / 40 ** 3 + (9 * 35) / 44 ** 3), 1e-13);
    }
  });

  it('scatter is that of the studies own effects around it', () => {
    // The two-step estimates of the same counts, from their own formulas.
    const own = { 'odds-ratio': oddsRatio, 'risk-ratio': riskRatio, 'risk-difference': riskDifference };
    for (const name of ['bcg', 'sparse']) {
      for (const measure of ['odds-ratio', 'risk-ratio', 'risk-difference'] as const) {
        const pool = poolTwoArms(tablesOf(name), { method: 'mantel-haenszel', measure });
        const estimates = tablesOf(name)
          .map((entry) => own[measure](entry))
          .filter((entry) => 'variance' in entry);
        const q = estimates.reduce(
          (sum, { value, variance }) => sum + (value - pool.value!) ** 2 / variance,
          0,
        );
        near(pool.heterogeneity?.q, q, 1e-12);
        expect(pool.heterogeneity?.degreesOfFreedom).toBe(estimates.length - 1);
      }
    }
  });
});
