import { describe, expect, it } from 'vitest';
import { rateInterval } from '../../../src/effects/rateInterval.ts';
import { exactPoissonInterval, shouldersToRuleOut } from '../../../src/pooling/rareEvents/exactLimits.ts';
import { poolOneArm } from '../../../src/pooling/rareEvents/poolOneArm.ts';
import { armsOf, near } from './rareEventsHelpers.ts';

describe('exact limits', () => {
  it('each tail is half of what is left', () => {
    for (const [events, total] of [
      [0, 23],
      [1, 40],
      [7, 12],
      [12, 12],
    ] as const) {
      const { lower, upper } = rateInterval({ events, total }, { method: 'clopper-pearson' });
      const tail = (p: number, from: number, to: number): number => {
        let sum = 0;
        let coefficient = 1;
        for (let x = 0; x <= total; x++) {
          if (x >= from && x <= to) sum += coefficient * p ** x * (1 - p) ** (total - x);
          coefficient *= (total - x) / (x + 1);
        }
        return sum;
      };
      if (events > 0) near(tail(lower, events, total), 0.025, 1e-10);
      else expect(lower).toBe(0);
      if (events < total) near(tail(upper, 0, events), 0.025, 1e-10);
      else expect(upper).toBe(1);
    }
    for (const events of [0, 1, 9]) {
      const { lower, upper } = exactPoissonInterval(events, 4);
      const below = (mean: number, to: number): number => {
        let sum = 0;
        let term = Math.exp(-mean);
        for (let x = 0; x <= to; x++) {
          sum += term;
          term *= mean / (x + 1);
        }
        return sum;
      };
      near(below(upper * 4, events), 0.025, 1e-10);
      if (events > 0) near(1 - below(lower * 4, events - 1), 0.025, 1e-10);
    }
  });

  it('the number of shoulders is the smallest that does it', () => {
    for (const rate of [0.5, 0.1, 0.031, 0.01, 0.0005]) {
      for (const sides of [1, 2] as const) {
        const shoulders = shouldersToRuleOut(rate, { sides });
        expect((1 - rate) ** shoulders).toBeLessThanOrEqual((0.05 / sides) * (1 + 1e-12));
        if (shoulders > 1) expect((1 - rate) ** (shoulders - 1)).toBeGreaterThan(0.05 / sides);
      }
    }
    expect(shouldersToRuleOut(0.95)).toBe(1);
  });
});

describe('one arm over time', () => {
  it('time in other units only shifts the log rate', () => {
    const arms = armsOf('rareArms');
    const one = poolOneArm(arms, { method: 'poisson-normal' });
    const double = poolOneArm(
      arms.map((entry) => ({ ...entry, followUpMonths: 2 * Number(entry.followUpMonths) })),
      { method: 'poisson-normal' },
    );
    near(double.mean, one.mean! - Math.LN2, 1e-9);
    near(double.rate, one.rate! / 2, 1e-8);
    near(double.standardError, one.standardError!, 1e-8);
    near(double.betweenStudyDeviation, one.betweenStudyDeviation!, 1e-8);
  });

  it('the next study: t with two degrees of freedom fewer than arms, around mean and deviation together', () => {
    // Higgins JPT, Thompson SG, Spiegelhalter DJ, J R Stat Soc A 2009;172:137-159, section 4.1; t(8) = 2.306004135 (table).
    const fit = poolOneArm(armsOf('rareArms'), { method: 'poisson-normal' });
    const reach = 2.306004135204166 * Math.sqrt(fit.betweenStudyDeviation! ** 2 + fit.standardError! ** 2);
    near(fit.prediction?.lower, 100 * Math.exp(fit.mean! - reach), 1e-10);
    near(fit.prediction?.upper, 100 * Math.exp(fit.mean! + reach), 1e-10);
  });
});
