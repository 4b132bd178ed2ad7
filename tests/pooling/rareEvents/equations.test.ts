import { describe, expect, it } from 'vitest';
import { chiSquareQuantile } from '../../../src/numerics/distributions.ts';
import { betaBinomialObjective } from '../../../src/pooling/rareEvents/betaBinomialObjective.ts';
import { hypergeometricMoments } from '../../../src/pooling/rareEvents/cochranMantelHaenszelTest.ts';
import { conditionalLikelihood } from '../../../src/pooling/rareEvents/conditionalLikelihood.ts';
import { convolveLogConcave } from '../../../src/pooling/rareEvents/convolveLogConcave.ts';
import { exactTails } from '../../../src/pooling/rareEvents/exactConditional.ts';
import {
  exactBinomialInterval,
  exactPoissonInterval,
  shouldersToRuleOut,
} from '../../../src/pooling/rareEvents/exactLimits.ts';
import { integrateStudy, studyIntegral } from '../../../src/pooling/rareEvents/integratedLikelihood.ts';
import {
  binomialComplementaryLogLogTerm,
  binomialLogitTerm,
  type LikelihoodTerm,
  poissonLogTerm,
} from '../../../src/pooling/rareEvents/likelihoodTerms.ts';
import { mixedObjective } from '../../../src/pooling/rareEvents/mixedModel.ts';
import { newtonMaximum } from '../../../src/pooling/rareEvents/newtonMaximum.ts';
import { noncentralHypergeometric } from '../../../src/pooling/rareEvents/noncentralHypergeometric.ts';
import { poolOneArm } from '../../../src/pooling/rareEvents/poolOneArm.ts';
import { poolTwoArms } from '../../../src/pooling/rareEvents/poolTwoArms.ts';
import { applyZeroCells } from '../../../src/pooling/rareEvents/zeroCells.ts';
import { armsOf, near, table, tablesOf } from './rareEventsHelpers.ts';

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
});

describe('zero cells', () => {
  const rows = [
    table('None', [0, 30], [0, 10]),
    table('One', [0, 30], [2, 10]),
    table('Full', [3, 30], [2, 10]),
  ];

  it('adds nothing unasked', () => {
    for (const { added } of applyZeroCells(rows, 'none'))
      expect(added).toEqual({ treated: 0, comparator: 0 });
  });

  it('adds a constant to the tables that need it, or to all', () => {
    const some = applyZeroCells(rows, { addToEachCell: 0.5 });
    expect(some.map(({ added }) => added.treated)).toEqual([0.5, 0.5, 0]);
    expect(some[1]).toMatchObject({
      treatedEvents: 0.5,
      treatedWithout: 30.5,
      comparatorEvents: 2.5,
      comparatorWithout: 8.5,
    });
    const every = applyZeroCells(rows, { addToEachCell: 0.25, to: 'every-table' });
    expect(every.map(({ added }) => added.comparator)).toEqual([0.25, 0.25, 0.25]);
  });

  it('the reciprocal of the other arm leaves a table without events at an odds ratio of 1 (Sweeting 2004)', () => {
    const [none, one, full] = applyZeroCells(rows, 'treatment-arm-reciprocal');
    expect(none!.added.treated + none!.added.comparator).toBe(1);
    expect(none!.added.treated / none!.added.comparator).toBe(3);
    near(
      (none!.treatedEvents * none!.comparatorWithout) / (none!.treatedWithout * none!.comparatorEvents),
      1,
      1e-13,
    );
    expect(one!.added).toEqual({ treated: 0.75, comparator: 0.25 });
    expect(full!.added).toEqual({ treated: 0, comparator: 0 });
  });
});

const step = 1e-5;
describe('likelihood terms', () => {
  it.each<[string, LikelihoodTerm]>([
    ['binomial, logit', binomialLogitTerm(3, 17)],
    ['binomial, logit, no events', binomialLogitTerm(0, 17)],
    ['binomial, complementary log-log', binomialComplementaryLogLogTerm(3, 17)],
    ['binomial, complementary log-log, events only', binomialComplementaryLogLogTerm(17, 17)],
    ['Poisson', poissonLogTerm(4, 23)],
    [
      'hypergeometric',
      (eta, out) => {
        noncentralHypergeometric(table('One', [3, 12], [4, 15])).evaluate(eta, out);
        out[2] = -out[2]!;
      },
    ],
  ])('%s: slope and curvature are those of the value', (_name, term) => {
    const value = (eta: number, which: number): number => {
      const out = new Float64Array(3);
      term(eta, out);
      return out[which]!;
    };
    for (const eta of [-9, -3.6, -3.5, -1, 0.2, 1.1, 2.5]) {
      for (const which of [0, 1]) {
        const difference = (value(eta + step, which) - value(eta - step, which)) / (2 * step);
        near(value(eta, which + 1), difference, 1e-6, `${eta}`);
      }
      expect(value(eta, 2)).toBeLessThan(0);
    }
  });

  it('the complementary log-log curvature has no seam where its series ends', () => {
    const out = new Float64Array(3);
    const curvature = (hazard: number): number => {
      binomialComplementaryLogLogTerm(5, 5)(Math.log(hazard), out);
      return out[2]! / hazard;
    };
    near(curvature(0.03 - 1e-12), curvature(0.03 + 1e-12), 1e-10);
  });
});

describe('integrated likelihood', () => {
  const designs = {
    one: { fixed: [[1]], random: [[1]] },
    two: {
      fixed: [
        [1, 0.5],
        [1, -0.5],
      ],
      random: [
        [1, 0.5],
        [1, -0.5],
      ],
    },
  };
  it.each([
    ['one dimension', designs.one, [binomialLogitTerm(2, 30)], [-2.1, 0.8], [60]],
    [
      'two dimensions',
      designs.two,
      [binomialLogitTerm(2, 30), binomialLogitTerm(5, 28)],
      [-2, -0.4, 0.7, 0.5],
      [40, 40],
    ],
  ] as const)('gradient and Hessian are those of the value: %s', (_name, design, terms, at, points) => {
    const size = at.length;
    const integral = (parameters: readonly number[]) => {
      const result = studyIntegral(size);
      integrateStudy(terms, design, parameters, points, new Float64Array(points.length), result);
      return result;
    };
    const here = integral(at);
    for (let p = 0; p < size; p++) {
      const moved = (by: number) => integral(at.map((value, i) => (i === p ? value + by : value)));
      const [up, down] = [moved(step), moved(-step)];
      near(here.gradient[p], (up.logLikelihood - down.logLikelihood) / (2 * step), 1e-6);
      for (let q = 0; q < size; q++) {
        near(here.hessian[p * size + q], (up.gradient[q]! - down.gradient[q]!) / (2 * step), 1e-6);
      }
    }
  });

  it('without deviation it is the likelihood itself', () => {
    const result = studyIntegral(2);
    integrateStudy([binomialLogitTerm(2, 30)], designs.one, [-2.1, 0], [25], new Float64Array(1), result);
    const out = new Float64Array(3);
    binomialLogitTerm(2, 30)(-2.1, out);
    near(result.logLikelihood, out[0]!, 1e-13);
    near(result.gradient[0], out[1]!, 1e-12);
  });

  it('adds up to one over all counts', () => {
    // Σₓ C(n,x) L(x) = 1 for any mean and deviation.
    let sum = 0;
    let coefficient = 1;
    for (let x = 0; x <= 12; x++) {
      const result = studyIntegral(2);
      integrateStudy([binomialLogitTerm(x, 12)], designs.one, [-1.2, 0.9], [60], new Float64Array(1), result);
      sum += coefficient * Math.exp(result.logLikelihood);
      coefficient *= (12 - x) / (x + 1);
    }
    near(sum, 1, 1e-9);
  });

  it('beta-binomial probabilities add up to one, with slopes and curvatures of the value', () => {
    let sum = 0;
    for (let events = 0; events <= 12; events++) {
      const objective = betaBinomialObjective([[{ events, total: 12 }]]);
      sum += Math.exp(
        objective.evaluate(Float64Array.of(-1, 0.4), [false], new Float64Array(2), new Float64Array(4)),
      );
    }
    near(sum, 1, 1e-12);
    const objective = betaBinomialObjective([
      [
        { events: 2, total: 12 },
        { events: 0, total: 9 },
      ],
      [{ events: 5, total: 11 }],
    ]);
    const at = [-1, 0.3, 0.4];
    const of = (x: readonly number[]) => {
      const gradient = new Float64Array(3);
      const hessian = new Float64Array(9);
      return {
        value: objective.evaluate(Float64Array.from(x), [false], gradient, hessian),
        gradient,
        hessian,
      };
    };
    for (let p = 0; p < 3; p++) {
      const moved = (by: number) => of(at.map((value, i) => (i === p ? value + by : value)));
      near(of(at).gradient[p], (moved(step).value - moved(-step).value) / (2 * step), 1e-6);
      for (let q = 0; q < 3; q++) {
        near(
          of(at).hessian[p * 3 + q],
          (moved(step).gradient[q]! - moved(-step).gradient[q]!) / (2 * step),
          1e-6,
        );
      }
    }
  });
});

describe('random effects', () => {
  it.each(['streptokinase', 'sparse', 'betaBlocker'])(
    'score is zero and no point of a grid is higher: %s',
    (name) => {
      const { informative } = conditionalLikelihood(tablesOf(name));
      const objective = mixedObjective(
        informative.map(({ evaluate }) => [
          (theta: number, out: Float64Array) => {
            evaluate(theta, out);
            out[2] = -out[2]!;
          },
        ]),
        { fixed: [[1]], random: [[1]] },
        25,
      );
      const gradient = new Float64Array(2);
      const hessian = new Float64Array(4);
      const pool = poolTwoArms(tablesOf(name), { method: 'hypergeometric-normal' });
      objective.evaluate(
        Float64Array.of(pool.value!, pool.betweenStudyDeviation!),
        [false],
        gradient,
        hessian,
      );
      expect(Math.abs(gradient[0]! * pool.standardError!)).toBeLessThan(1e-10);
      expect(Math.abs(gradient[1]! * pool.standardError!)).toBeLessThan(1e-10);
      for (let theta = -3; theta <= 1; theta += 0.25) {
        for (let tau = 0; tau <= 4; tau += 0.25) {
          const value = objective.evaluate(Float64Array.of(theta, tau), [false], gradient, hessian);
          expect(value).toBeLessThanOrEqual(pool.logLikelihood! + 1e-8);
        }
      }
    },
  );

  it('the climb ends at the top of a function known by heart, and not at a saddle', () => {
    const top = newtonMaximum(
      ([x, y], g, h) => {
        const [a, b] = [x! - 1, y! + 2];
        g.set([-2 * a - b, -a - 4 * b]);
        h.set([-2, -1, -1, -4]);
        return -a * a - a * b - 2 * b * b;
      },
      [5, 5],
    );
    expect(top.converged).toBe(true);
    near(top.at[0], 1, 1e-12);
    near(top.at[1], -2, 1e-12);
    const saddle = newtonMaximum(
      ([x], g, h) => {
        g[0] = 2 * x!;
        h[0] = 2;
        return x! ** 2;
      },
      [0],
    );
    expect(saddle.converged).toBe(false);
  });
});

describe('exact limits', () => {
  it('each tail is half of what is left', () => {
    for (const [events, total] of [
      [0, 23],
      [1, 40],
      [7, 12],
      [12, 12],
    ] as const) {
      const { lower, upper } = exactBinomialInterval(events, total);
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
});
