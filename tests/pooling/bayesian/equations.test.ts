import { describe, expect, it } from 'vitest';
import { normalCumulative, normalDensity } from '../../../src/numerics/distributions.ts';
import { binomialStudy } from '../../../src/pooling/bayesian/binomialStudy.ts';
import {
  type DeviationPrior,
  deviationPriorKinds,
  logDeviationPrior,
  logNormalFromVariance,
} from '../../../src/pooling/bayesian/deviationPrior.ts';
import {
  kronrodNodes,
  legendreCoefficients,
  legendreSum,
} from '../../../src/pooling/bayesian/gaussKronrod.ts';
import { probabilityRateBelow } from '../../../src/pooling/bayesian/probabilityRateBelow.ts';
import {
  probabilityAbove,
  probabilityRateExceeds,
} from '../../../src/pooling/bayesian/probabilityRateExceeds.ts';
import {
  cumulativeAt,
  densityAt,
  densityGrid,
  expectationOf,
  quantileOf,
  rateDensityGrid,
  type TabulatedDensity,
  tabulateDensity,
} from '../../../src/pooling/bayesian/tabulatedDensity.ts';
import { expectClose } from '../../helpers/close.ts';
import { binomialPosteriorOf, normalPosterior } from './shapes.ts';

/** One prior of every kind, at a scale that suits logits. */
const priors: Readonly<Record<DeviationPrior['kind'], DeviationPrior>> = {
  'half-normal': { kind: 'half-normal', scale: 0.7 },
  'half-cauchy': { kind: 'half-cauchy', scale: 0.4 },
  uniform: { kind: 'uniform', upper: 3 },
  flat: { kind: 'flat' },
  'log-normal': logNormalFromVariance(-2.56, 1.74),
  'gamma-on-precision': { kind: 'gamma-on-precision', shape: 1, rate: 0.2 },
};
const values = [-2.6, -2.1, -3.0, -1.7, -2.4, -2.9];
const variances = [0.08, 0.2, 0.3, 0.05, 0.12, 0.5];
const events = [4, 2, 0, 9, 3, 1];
const totals = [60, 20, 25, 70, 40, 33];

const each = deviationPriorKinds.flatMap((kind) => {
  const options = { deviationPrior: priors[kind] };
  return [
    [`normal model, ${kind}`, normalPosterior(values, variances, options)] as const,
    [`binomial model, ${kind}`, binomialPosteriorOf(events, totals, options)] as const,
  ];
});

/** Total of a density over its table by a rule of its own: 400 midpoints a panel in the table's coordinate. */
function midpointIntegral(table: TabulatedDensity, f: (x: number) => number): number {
  let sum = 0;
  for (let panel = 0; panel + 1 < table.edges.length; panel++) {
    const step = (table.edges[panel + 1]! - table.edges[panel]!) / 400;
    for (let index = 0; index < 400; index++) {
      const t = table.edges[panel]! + (index + 0.5) * step;
      const x = table.centre + table.scale * Math.sinh(t);
      sum += step * densityAt(table, x) * table.scale * Math.cosh(t) * f(x);
    }
  }
  return sum;
}

describe.each(each)('%s', (_, posterior) => {
  const parts = [posterior.mean, posterior.betweenStudyDeviation, posterior.prediction];

  it('puts the probability asked for below every quantile', () => {
    for (const { density, median, interval } of parts) {
      for (const p of [0.001, 0.025, 0.25, 0.5, 0.9, 0.999]) {
        expectClose(cumulativeAt(density, quantileOf(density, p)), p, 'iterative');
      }
      expectClose(cumulativeAt(density, median), 0.5, 'iterative');
      expectClose(
        cumulativeAt(density, interval.upper) - cumulativeAt(density, interval.lower),
        0.95,
        'iterative',
      );
    }
  });

  it('has densities that integrate to 1 and are the slope of the cumulative', () => {
    for (const { density, median, interval } of parts) {
      expectClose(
        midpointIntegral(density, () => 1),
        1,
        'otherLibrary',
      );
      for (const x of [interval.lower, median, interval.upper]) {
        const step = 1e-4 * (interval.upper - interval.lower);
        const slope = (cumulativeAt(density, x + step) - cumulativeAt(density, x - step)) / (2 * step);
        expect(Math.abs(slope - densityAt(density, x))).toBeLessThan(1e-5 * densityAt(density, median));
      }
    }
  });

  it('keeps the identities of a mixture: the next study has the same mean, and tau² more variance', () => {
    const { mean, prediction, betweenStudyDeviation: tau } = posterior;
    if (mean.standardDeviation === undefined || prediction.standardDeviation === undefined) return;
    expectClose(prediction.mean, mean.mean!, 'iterative');
    const meanSquare = tau.mean! ** 2 + tau.standardDeviation! ** 2;
    expectClose(prediction.standardDeviation ** 2, mean.standardDeviation ** 2 + meanSquare, 'iterative');
    // And the tables agree with moments that were found without them.
    expectClose(
      midpointIntegral(mean.density, (x) => x),
      mean.mean!,
      'otherLibrary',
    );
    const centre = prediction.mean!;
    expectClose(
      Math.sqrt(expectationOf(prediction.density, (x) => (x - centre) ** 2)),
      prediction.standardDeviation,
      'otherLibrary',
    );
  });

  it('carries an error of quadrature within its tolerance', () => {
    expect(posterior.numerics.agreed).toBe(true);
    expect(posterior.numerics.disagreement).toBeLessThanOrEqual(posterior.numerics.tolerance);
  });
});

describe('priors', () => {
  it.each(deviationPriorKinds.filter((kind) => kind !== 'flat'))('%s integrates to 1', (kind) => {
    // In log tau, by the trapezoid rule. The uniform has an edge, so that its grid ends there.
    const prior = priors[kind];
    const top = prior.kind === 'uniform' ? Math.log(prior.upper) : 40;
    const step = 1 / 512;
    let sum = 0;
    for (let t = top; t > -40; t -= step) {
      const share = t === top ? 0.5 : 1;
      sum += share * step * Math.exp(logDeviationPrior(prior, Math.exp(t)) + t);
    }
    expectClose(sum, 1, 'otherLibrary');
  });
});

describe('averages of a binomial likelihood over a normal logit', () => {
  // The same integral by a plain midpoint sum over 40,000 points of z.
  const brute = (x: number, n: number, mean: number, deviation: number): number => {
    const count = 40_000;
    let sum = 0;
    const best = x > 0 && x < n ? x * Math.log(x / n) + (n - x) * Math.log1p(-x / n) : 0;
    for (let index = 0; index < count; index++) {
      const z = -10 + (20 * (index + 0.5)) / count;
      const logit = mean + deviation * z;
      const log = -x * Math.log1p(Math.exp(-logit)) - (n - x) * Math.log1p(Math.exp(logit)) - best;
      sum += (20 / count) * normalDensity(z) * Math.exp(log);
    }
    return sum;
  };
  it.each([
    [0, 10],
    [0, 400],
    [1, 1],
    [1, 30],
    [3, 40],
    [20, 25],
    [12, 12],
    [60, 2000],
  ])('%i of %i', (x, n) => {
    const study = binomialStudy(x, n, { step: 1, hermitePoints: 13 });
    for (const deviation of [0.01, 0.1, 0.3, 0.5, 1, 3, 8]) {
      for (const mean of [-6, -4, -2.5, 0, 1.5]) {
        const exact = brute(x, n, mean, deviation);
        // Below this a mean is ruled out by any posterior it could matter to.
        if (exact > 1e-6) expectClose(Math.exp(study.logAverage(mean, deviation)), exact, 'otherLibrary');
      }
    }
  });
});

describe('tables', () => {
  const table = (mean: number, deviation: number): TabulatedDensity =>
    tabulateDensity((x) => normalDensity((x - mean) / deviation) / deviation, {
      centre: mean,
      scale: 2 * deviation,
      lower: mean - 9 * deviation,
      upper: mean + 9 * deviation,
      tolerance: 1e-10,
    });

  it('give back the normal distribution they were made from', () => {
    const normal = table(1.5, 0.3);
    for (const z of [-4, -1.96, 0, 0.5, 3]) {
      expectClose(cumulativeAt(normal, 1.5 + 0.3 * z), normalCumulative(z), 'iterative');
      expectClose(densityAt(normal, 1.5 + 0.3 * z), normalDensity(z) / 0.3, 'otherLibrary');
    }
    expect(() => quantileOf(normal, 1)).toThrow('probability must be above 0 and below 1, received 1');
  });

  it('compare two normals as their difference does, one much narrower than the other', () => {
    for (const [a, s, b, t] of [
      [0, 1, 0.5, 1],
      [0, 1, 0.5, 1e-4],
      [0.2, 1e-4, 0, 3],
      [2, 0.3, 0, 0.4],
    ] as const) {
      const exact = normalCumulative((a - b) / Math.hypot(s, t));
      expectClose(probabilityAbove(table(a, s), table(b, t)), exact, 'iterative');
    }
  });

  it('pass a polynomial of degree 14 through their points', () => {
    const polynomial = (x: number): number => 1 + x - 3 * x ** 5 + 2 * x ** 14;
    const coefficients = legendreCoefficients(kronrodNodes.map(polynomial));
    for (const x of [-0.97, -0.3, 0.11, 0.8]) {
      expectClose(legendreSum(coefficients, x).value, polynomial(x), 'specialFunction', { ofSize: 4 });
    }
    expectClose(legendreSum(coefficients, 1).integral, 2 + 4 / 15, 'specialFunction');
  });
});

describe('probabilities of rates', () => {
  const first = binomialPosteriorOf(events, totals);
  const second = binomialPosteriorOf([1, 0, 2, 1], [40, 30, 55, 28]);

  it('are one half at the median and the tail at a limit', () => {
    expectClose(probabilityRateBelow(first, first.rate.median).medianHospital, 0.5, 'iterative');
    expectClose(probabilityRateBelow(first, first.nextRate.interval.upper).nextHospital, 0.975, 'iterative');
    expect(() => probabilityRateBelow(first, 0)).toThrow('limit must be above 0 and below 1, received 0');
  });

  it('of one pool above another and the other way round sum to 1, and are one half against itself', () => {
    const forth = probabilityRateExceeds(first, second);
    const back = probabilityRateExceeds(second, first);
    expectClose(forth.medianHospital + back.medianHospital, 1, 'iterative');
    expectClose(forth.nextHospital + back.nextHospital, 1, 'iterative');
    expectClose(probabilityRateExceeds(first, first).medianHospital, 0.5, 'iterative');
    expect(forth.medianHospital).toBeGreaterThan(0.9);
    // The next hospital varies more than the median one.
    expect(forth.nextHospital).toBeLessThan(forth.medianHospital);
    expect(forth.label).toContain('not randomised groups');
  });

  it('refuse what is not a rate', () => {
    const plain = normalPosterior(values, variances, { deviationPrior: priors['half-normal'] });
    expect(() => probabilityRateBelow(plain, 0.1)).toThrow('on the scale "logit", received "plain"');
  });

  it('grids hold the density on either scale', () => {
    const logits = densityGrid(first.mean.density, { points: 400, tail: 1e-6 });
    const rates = rateDensityGrid(first.mean.density, { points: 4000, tail: 1e-6 });
    for (const grid of [logits, rates]) {
      let sum = 0;
      for (let index = 1; index < grid.length; index++) {
        sum +=
          0.5 *
          (grid[index]!.density + grid[index - 1]!.density) *
          (grid[index]!.value - grid[index - 1]!.value);
      }
      expect(Math.abs(sum - 1)).toBeLessThan(1e-4);
    }
    expect(() => densityGrid(first.mean.density, { points: 1 })).toThrow('points must be a whole number');
  });
});
