import { describe, expect, it } from 'vitest';
import { betaBinomialObjective } from '../../../src/pooling/rareEvents/betaBinomialObjective.ts';
import { integrateStudy, studyIntegral } from '../../../src/pooling/rareEvents/integratedLikelihood.ts';
import {
  binomialComplementaryLogLogTerm,
  binomialLogitTerm,
  type LikelihoodTerm,
  poissonLogTerm,
} from '../../../src/pooling/rareEvents/likelihoodTerms.ts';
import { noncentralHypergeometric } from '../../../src/pooling/rareEvents/noncentralHypergeometric.ts';
import { near, table } from './rareEventsHelpers.ts';

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
