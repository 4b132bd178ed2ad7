import { describe, expect, it } from 'vitest';
import { chiSquareQuantile } from '../../../src/numerics/distributions.ts';
import { hypergeometricMoments } from '../../../src/pooling/rareEvents/cochranMantelHaenszelTest.ts';
import { conditionalLikelihood } from '../../../src/pooling/rareEvents/conditionalLikelihood.ts';
import { convolveLogConcave } from '../../../src/pooling/rareEvents/convolveLogConcave.ts';
import { exactTails } from '../../../src/pooling/rareEvents/exactConditional.ts';
import { noncentralHypergeometric } from '../../../src/pooling/rareEvents/noncentralHypergeometric.ts';
import { poolTwoArms } from '../../../src/pooling/rareEvents/poolTwoArms.ts';
import { near, table, tablesOf } from './rareEventsHelpers.ts';

const all = ['bcg', 'betaBlocker', 'tolbutamide', 'streptokinase', 'sparse'];

describe('conditional odds ratio', () => {
  it.each(all)('score is zero at the value, and the interval is where it is defined: %s', (name) => {
    const likelihood = conditionalLikelihood(tablesOf(name));
    const at = new Float64Array(3);
    const pool = poolTwoArms(tablesOf(name), { method: 'conditional-maximum-likelihood' });
    likelihood.evaluate(pool.value!, at);
    expect(Math.abs(at[1]! * pool.standardError!)).toBeLessThan(1e-10);
    for (const limit of [pool.interval!.lower, pool.interval!.upper]) {
      likelihood.evaluate(limit, at);
      near(2 * (pool.logLikelihood! - at[0]!), chiSquareQuantile(0.95, 1), 1e-10);
    }
  });

  it.each([...all, 'oneSided'])('exact tails are half of what is left at the limits: %s', (name) => {
    const tails = exactTails(conditionalLikelihood(tablesOf(name)));
    for (const level of [0.5, 0.95, 0.999]) {
      const { interval, oneSidedLimit } = poolTwoArms(tablesOf(name), { method: 'exact-conditional', level });
      const upper = interval?.upper ?? oneSidedLimit!.value;
      near(Math.exp(tails.atMost(upper)), (1 - level) / 2, 1e-10);
      if (interval) near(Math.exp(tails.atLeast(interval.lower)), (1 - level) / 2, 1e-10);
    }
  });

  it('the two tails share the observed number', () => {
    const likelihood = conditionalLikelihood([table('One', [3, 12], [4, 15])]);
    const tails = exactTails(likelihood);
    const at = new Float64Array(3);
    for (const theta of [-2, 0, 1.3]) {
      likelihood.evaluate(theta, at);
      near(Math.exp(tails.atMost(theta)) + Math.exp(tails.atLeast(theta)), 1 + Math.exp(at[0]!), 1e-12);
    }
  });

  it('has the central moments without an effect, and reaches counts of any size', () => {
    const at = new Float64Array(3);
    for (const entry of [...tablesOf('bcg'), table('Large', [3000, 200000], [2500, 180000])]) {
      noncentralHypergeometric(entry).evaluate(0, at);
      const { expected, variance } = hypergeometricMoments(entry);
      near(entry.treated.events - at[1]!, expected, 1e-12);
      near(at[2]!, variance, 1e-11);
    }
  });

  it('multiplies polynomials like whole numbers do', () => {
    const binomials = (n: bigint): bigint[] => {
      const row = [1n];
      for (let k = 0n; k < n; k++) row.push((row[Number(k)]! * (n - k)) / (k + 1n));
      return row;
    };
    const logs = (row: bigint[]) => Float64Array.from(row, (value) => Math.log(Number(value)));
    const product = convolveLogConcave(logs(binomials(60n)), logs(binomials(75n)));
    for (const [k, value] of binomials(135n).entries()) near(product[k], Math.log(Number(value)), 1e-13);
  });
});
