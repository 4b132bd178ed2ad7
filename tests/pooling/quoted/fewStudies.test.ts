// Comparisons of two to four studies: a posterior is quoted, names its priors, and says how much it leans on them.
import { describe, expect, it } from 'vitest';
import { hypergeometricNormal } from '../../../src/pooling/quoted/comparisonContext.ts';
import { measuredComparisonCoverage } from '../../../src/pooling/quoted/measuredCoverage.ts';
import { quotedComparison } from '../../../src/pooling/quoted/quotedComparison.ts';
import type { TwoArmTable } from '../../../src/pooling/rareEvents/twoArmTable.ts';
import { tablesOf } from './quotedHelpers.ts';

const table = (treated: [number, number], comparator: [number, number]) => ({ treated, comparator });
const reviews: Readonly<Record<string, TwoArmTable[]>> = {
  'two small trials that agree': tablesOf([table([3, 40], [2, 38]), table([1, 40], [1, 40])]),
  'three trials that agree': tablesOf([
    table([1, 33], [6, 30]),
    table([2, 40], [8, 41]),
    table([1, 30], [5, 30]),
  ]),
  'four trials, one without events in an arm': tablesOf([
    table([1, 100], [4, 100]),
    table([0, 40], [2, 40]),
    table([3, 150], [2, 140]),
    table([5, 60], [9, 20]),
  ]),
  'two trials that point opposite ways': tablesOf([table([0, 20], [5, 20]), table([5, 20], [0, 20])]),
};

/** A study's likelihood of its log odds ratio given its margins, from the definition. */
function likelihoodOf({ treated, comparator }: TwoArmTable): (theta: number) => number {
  const events = treated.events + comparator.events;
  const choose = (n: number, k: number): number => {
    let log = 0;
    for (let i = 1; i <= k; i++) log += Math.log((n - k + i) / i);
    return log;
  };
  const terms: (readonly [number, number])[] = [];
  for (let a = Math.max(0, events - comparator.total); a <= Math.min(treated.total, events); a++) {
    terms.push([a, choose(treated.total, a) + choose(comparator.total, events - a)]);
  }
  return (theta) => {
    const highest = Math.max(...terms.map(([a, log]) => log + a * theta));
    let sum = 0;
    let observed = 0;
    for (const [a, log] of terms) {
      const term = Math.exp(log + a * theta - highest);
      sum += term;
      if (a === treated.events) observed = term;
    }
    return observed / sum;
  };
}

/**
 * Probability that θ lies below each limit, by the rectangle rule on a fine even grid of study effects, means and
 * deviations: nothing of the library is in it.
 */
function probabilitiesBelow(tables: readonly TwoArmTable[], limits: readonly number[]): number[] {
  const step = 0.05;
  const reach = 240;
  const grid = Array.from({ length: 2 * reach + 1 }, (_, i) => (i - reach) * step);
  const likelihoods = tables.map((one) => grid.map(likelihoodOf(one)));
  const density = new Float64Array(grid.length);
  const deviationStep = 0.05;
  for (let j = 0; j * deviationStep < 3.2; j++) {
    const deviation = j * deviationStep;
    // Half-normal 0.5, half of the first cell; the normal kernel cut at seven deviations.
    const prior = Math.exp(-0.5 * (deviation / 0.5) ** 2) * (j === 0 ? 0.5 : 1);
    const wide = Math.ceil((7 * deviation) / step);
    const kernel = Array.from({ length: 2 * wide + 1 }, (_, i) =>
      deviation === 0 ? 1 : Math.exp(-0.5 * (((i - wide) * step) / deviation) ** 2),
    );
    const whole = kernel.reduce((a, b) => a + b);
    grid.forEach((mean, at) => {
      let product = prior * Math.exp(-0.5 * (mean / 2.82) ** 2);
      for (const likelihood of likelihoods) {
        let sum = 0;
        for (let i = 0; i < kernel.length; i++) {
          const index = Math.min(2 * reach, Math.max(0, at + i - wide));
          sum += kernel[i]! * likelihood[index]!;
        }
        product *= sum / whole;
      }
      density[at]! += product;
    });
  }
  const total = density.reduce((a, b) => a + b);
  return limits.map((limit) => {
    const at = Math.floor((limit - grid[0]!) / step);
    const u = (limit - grid[at]!) / step;
    let below = 0;
    for (let i = 0; i < at; i++) below += density[i]!;
    below += 0.5 * density[at]!;
    const [d0, d1] = [density[at]!, density[at + 1]!];
    const [before, after] = [density[at - 1]!, density[at + 2]!];
    // The end of a sum of rectangles (Euler and Maclaurin), then the cubic through four densities from 0 to u.
    below -= (d1 - before) / 24;
    const c1 = (after - 6 * d1 + 3 * d0 + 2 * before) / -6;
    const c2 = (before - 2 * d0 + d1) / 2;
    const c3 = (after - 3 * d1 + 3 * d0 - before) / 6;
    below += u * d0 + (u * u * c1) / 2 + (u ** 3 * c2) / 3 + (u ** 4 * c3) / 4;
    return below / total;
  });
}

describe.each(Object.entries(reviews))('%s', (_, tables) => {
  const quoted = quotedComparison(tables);

  it('a posterior is quoted, of the median study, and names its priors in its name, its reason and a caution', () => {
    expect(quoted).toMatchObject({
      method: 'hypergeometric-normal-posterior-half-normal-0.5',
      estimand: 'median study',
      because: 'few-studies',
    });
    expect(quoted.methodName).toMatch(/leaning on its priors.*half-normal 0\.5.*normal\(0, 2\.82²\)/);
    expect(quoted.priors).toMatch(/half-normal with scale 0\.5.*standard deviation 2\.82/);
    expect(quoted.why).toContain('leans on its priors');
    const caution = quoted.cautions.find(({ code }) => code === 'prior-decides-spread')!;
    expect(caution.message).toContain(`With ${tables.length} studies the interval leans on its priors`);
    expect(caution.message).toContain('with scale 1');
    expect(caution.message).toContain('without a prior');
  });

  it('beside it the answer under a wider prior, by profile, and as a common effect', () => {
    const names = quoted.others.map(({ method }) => method);
    expect(names).toEqual(
      expect.arrayContaining([
        'hypergeometric-normal-posterior-half-normal-1',
        'hypergeometric-normal-profile-t-test',
        'mantel-haenszel-odds-ratio',
        'conditional-maximum-likelihood',
      ]),
    );
    const wider = quoted.others.find(({ method }) => method.endsWith('half-normal-1'))!.interval!;
    expect(wider.lower).toBeLessThan(quoted.interval!.lower);
    expect(wider.upper).toBeGreaterThan(quoted.interval!.upper);
  });

  it('limits put back: 2.5, 50 and 97.5 % of the posterior lie below, at 1e-8', () => {
    const posterior = hypergeometricNormal(tables)!.posterior(0.5);
    const { lower, upper } = quoted.interval!;
    [lower, quoted.effect!, upper].forEach((value, i) => {
      const below = posterior.below('median study', Math.log(value));
      expect(Math.abs(below - [0.025, 0.5, 0.975][i]!)).toBeLessThan(1e-8);
    });
  });

  it('and into a sum over a grid that shares nothing with the library', () => {
    const { lower, upper } = quoted.interval!;
    const below = probabilitiesBelow(tables, [lower, quoted.effect!, upper].map(Math.log));
    [0.025, 0.5, 0.975].forEach((expected, i) => {
      expect(Math.abs(below[i]! - expected)).toBeLessThan(1e-6);
    });
  });

  it('the same again, and with the studies in another order', () => {
    expect(quotedComparison(tables)).toEqual(quoted);
    const turned = quotedComparison([...tables].reverse());
    expect(Math.abs(Math.log(turned.effect! / quoted.effect!))).toBeLessThan(1e-9);
    expect(Math.abs(Math.log(turned.interval!.upper / quoted.interval!.upper))).toBeLessThan(1e-9);
  });

  it('says what such an interval was seen to hold', () => {
    expect(quoted.coverage!.least).toBeGreaterThan(0.9);
    expect(quoted.coverage!.reviews).toBeGreaterThanOrEqual(300);
    expect(quoted.coverage).toEqual(measuredComparisonCoverage(quoted.method, tables.length));
  });

  it('risk ratios the same way', () => {
    expect(quotedComparison(tables, { measure: 'risk-ratio' })).toMatchObject({
      method: 'conditional-binomial-normal-posterior-half-normal-0.5',
      because: 'few-studies',
    });
  });
});

describe('as studies are added', () => {
  // The same three trials over and over, so that nothing but their number changes.
  const one = [table([1, 60], [3, 60]), table([2, 80], [4, 80]), table([1, 50], [2, 50])];
  const many = (studies: number) => tablesOf(Array.from({ length: studies }, (_, i) => one[i % 3]!));

  it.each([
    [1, 'conditional-maximum-likelihood'],
    [2, 'hypergeometric-normal-posterior-half-normal-0.5'],
    [4, 'hypergeometric-normal-posterior-half-normal-0.5'],
    [5, 'hypergeometric-normal-posterior-half-normal-1'],
    [9, 'hypergeometric-normal-posterior-half-normal-1'],
    [10, 'hypergeometric-normal-profile-t-test'],
  ])('%i studies: %s', (studies, method) => {
    const quoted = quotedComparison(many(studies));
    expect(quoted.method).toBe(method);
    expect(quoted.priors === undefined).toBe(!method.includes('posterior'));
    if (method.includes('posterior')) expect(quoted.priors).toBe(quoted.predictionPriors ?? quoted.priors);
  });

  it('no hand-over widens the interval on the log by more than a fifth', () => {
    const width = (studies: number): number => {
      const { lower, upper } = quotedComparison(many(studies)).interval!;
      return Math.log(upper / lower);
    };
    for (const studies of [2, 3, 4, 5, 6, 7, 8, 9, 10, 11]) {
      expect(width(studies + 1) / width(studies), `${studies} to ${studies + 1}`).toBeLessThan(1.2);
    }
  });
});
