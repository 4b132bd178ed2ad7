import { describe, expect, it } from 'vitest';
import { rateInterval } from '../../../src/effects/rateInterval.ts';
import { shouldersToRuleOut } from '../../../src/pooling/rareEvents/exactLimits.ts';
import { poolTwoArms } from '../../../src/pooling/rareEvents/poolTwoArms.ts';
import { expectPrinted } from '../../helpers/close.ts';
import { tablesOf } from './rareEventsHelpers.ts';

describe('published results', () => {
  it('BCG vaccine: Mantel-Haenszel odds ratio, interval and heterogeneity', () => {
    // Hothorn T, Everitt BS, A Handbook of Statistical Analyses Using R, 3rd ed. 2014, chapter 17.
    const pool = poolTwoArms(tablesOf('bcg'), { method: 'mantel-haenszel' });
    expectPrinted(pool.natural?.value, '0.62');
    expectPrinted(pool.natural?.interval?.lower, '0.57');
    expectPrinted(pool.natural?.interval?.upper, '0.68');
    expectPrinted(pool.heterogeneity?.q, '163.94');
    expect(pool.heterogeneity?.degreesOfFreedom).toBe(12);
  });

  it('streptokinase: Mantel-Haenszel odds ratio after eight trials', () => {
    // Lau J et al., N Engl J Med 1992;327:248-254, abstract.
    const pool = poolTwoArms(tablesOf('streptokinase'), { method: 'mantel-haenszel' });
    expectPrinted(pool.natural?.value, '0.74');
    expectPrinted(pool.natural?.interval?.lower, '0.59');
    expectPrinted(pool.natural?.interval?.upper, '0.92');
  });

  it('tolbutamide: Mantel-Haenszel odds ratio, risk ratio and risk difference', () => {
    // Rothman KJ, Greenland S, Lash TL, Modern Epidemiology, 3rd ed. 2008, chapter 15 (from memory).
    const of = (measure: 'odds-ratio' | 'risk-ratio' | 'risk-difference') =>
      poolTwoArms(tablesOf('tolbutamide'), { method: 'mantel-haenszel', measure }).natural?.value;
    expectPrinted(of('odds-ratio'), '1.40');
    expectPrinted(of('risk-ratio'), '1.33');
    expectPrinted(of('risk-difference'), '0.035');
  });

  it('no events: exact limits and the rule of three', () => {
    // Hanley JA, Lippman-Hand A, JAMA 1983;249:1743-1745 (one-sided 95 %, whole percentages, from memory).
    for (const [total, text] of [
      [10, '0.26'],
      [20, '0.14'],
      [30, '0.10'],
    ] as const) {
      expectPrinted(
        rateInterval({ events: 0, total }, { method: 'clopper-pearson', level: 0.9 }).upper,
        text,
      );
    }
    // 0 of 23: 14.8 % two-sided, from 1 − 0.025^(1/23).
    expectPrinted(rateInterval({ events: 0, total: 23 }, { method: 'clopper-pearson' }).upper * 100, '14.8');
    // Common practice, no source: 299 consecutive cases without an event rule out 1 % at one-sided 95 %.
    expect(shouldersToRuleOut(0.01)).toBe(299);
    expect(shouldersToRuleOut(0.01, { sides: 2 })).toBe(368);
  });
});
