import { describe, expect, it } from 'vitest';
import { conditionalLikelihood } from '../../../src/pooling/rareEvents/conditionalLikelihood.ts';
import {
  fitMixedModel,
  type MixedObjective,
  mixedObjective,
} from '../../../src/pooling/rareEvents/mixedModel.ts';
import { newtonMaximum } from '../../../src/pooling/rareEvents/newtonMaximum.ts';
import { poolTwoArms } from '../../../src/pooling/rareEvents/poolTwoArms.ts';
import { near, table, tablesOf } from './rareEventsHelpers.ts';

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

  it('takes as many quadrature points as the data need, and says how many', () => {
    const easy = poolTwoArms(tablesOf('betaBlocker'), { method: 'hypergeometric-normal' });
    expect(easy.quadraturePoints).toBe(25);
    // Few events, hardly any overlap between studies: 15 points are off in the second digit.
    const hard = [
      table('One', [0, 3], [0, 56]),
      table('Two', [39, 52], [17, 23]),
      table('Three', [0, 40], [32, 56]),
      table('Four', [0, 11], [0, 17]),
    ];
    const method = 'hypergeometric-normal';
    const few = poolTwoArms(hard, { method, quadraturePoints: 15 });
    const enough = poolTwoArms(hard, { method });
    const many = poolTwoArms(hard, { method, quadraturePoints: 80 });
    expect(few.quadraturePoints).toBe(15);
    expect(Math.abs(few.value! - many.value!)).toBeGreaterThan(0.01);
    expect(enough.quadraturePoints).toBe(100);
    near(enough.value, many.value!, 1e-4);
    near(enough.standardError, many.standardError!, 1e-3);
    expect(enough.methodsSentence).toContain('100 quadrature points');
  });

  it('no deviation is no answer where the likelihood curves upwards', () => {
    // Highest at a deviation of zero among what can be reached, but rising as soon as it is let go.
    const rising: MixedObjective = {
      coefficients: 1,
      deviations: 1,
      evaluate([beta, s], _atZero, gradient, hessian) {
        gradient.set([-2 * beta!, 2 * s!]);
        hessian.set([-2, 0, 0, 2]);
        return Math.abs(s!) > 0.05 ? Number.NaN : s! ** 2 - beta! ** 2;
      },
    };
    expect(fitMixedModel(rising, [0.4], [false])).toBeUndefined();
    near(fitMixedModel(rising, [0.4], [true])?.parameters[0], 0, 1e-9);
  });
});
