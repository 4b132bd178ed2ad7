import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as distributions from '../../src/numerics/distributions.ts';
import { expectClose } from '../helpers/close.ts';
import { runs } from '../helpers/runs.ts';

interface Point {
  readonly function: string;
  readonly arguments: readonly number[];
  readonly value: number;
}

const read = (name: string): { readonly points: readonly Point[] } =>
  JSON.parse(readFileSync(new URL(`../reference/${name}.json`, import.meta.url), 'utf8'));
const mpmath = read('distributions-mpmath').points;
const r = read('distributions-r').points;

const byName = new Map<string, (...values: number[]) => number>(Object.entries(distributions));
const call = (point: Point): number => byName.get(point.function)!(...point.arguments);
const named = (point: Point): string => `${point.function}(${point.arguments.join(', ')})`;

/** Far in a tail the argument's own last digit already moves the answer by 1e-13 and more. */
const inTail = (point: Point): boolean => {
  const near = (p: number): boolean => p < 1e-6 || p > 1 - 1e-6;
  return near(Math.abs(point.value)) || (/Quantile/.test(point.function) && near(point.arguments[0] ?? 0));
};

const functions = [...new Set(mpmath.map((point) => point.function))];

describe('against 34-digit arithmetic', () => {
  it('covers every exported function', () => {
    expect(functions.toSorted()).toEqual([...byName.keys()].toSorted());
  });

  for (const name of functions)
    it(name, () => {
      for (const point of mpmath.filter((each) => each.function === name))
        expectClose(call(point), point.value, inTail(point) ? 'specialFunctionTail' : 'specialFunction', {
          label: named(point),
        });
    });
});

describe('against base R, a second reference', () => {
  for (const name of functions)
    it(name, () => {
      for (const point of r.filter((each) => each.function === name))
        expectClose(call(point), point.value, 'specialFunctionTail', {
          label: named(point),
          // Next to the roots of log gamma R keeps 1e-17 absolute, which is 2e-10 of -5.8e-8.
          ...(name === 'logGamma' ? { ofSize: 0.01 } : {}),
        });
    });
});

describe('put back into the defining equation', () => {
  const probability = fc.double({ min: 1e-8, max: 1 - 1e-8, noNaN: true });
  const shape = fc.double({ min: 0.3, max: 3000, noNaN: true });

  it('a quantile has its probability below it', () => {
    fc.assert(
      fc.property(probability, shape, shape, (p, a, b) => {
        const small = Math.min(p, 1 - p);
        const lower = p < 0.5;
        const z = distributions.normalQuantile(p);
        expectClose(distributions.normalUpperTail(lower ? -z : z), small, 'specialFunctionTail');
        const t = distributions.studentTQuantile(p, a);
        expectClose(distributions.studentTUpperTail(Math.abs(t), a), small, 'specialFunctionTail');
        const c = distributions.chiSquareQuantile(p, a);
        expectClose(
          lower ? distributions.chiSquareCumulative(c, a) : distributions.chiSquareUpperTail(c, a),
          small,
          'specialFunctionTail',
        );
        const x = distributions.betaQuantile(p, a, b);
        // Only where one unit in the last place of x is not already more than the tolerance.
        if (x > 1e-300 && 1 - x > 1e-3)
          expectClose(
            lower ? distributions.betaCumulative(x, a, b) : distributions.betaUpperTail(x, a, b),
            small,
            'specialFunctionTail',
          );
      }),
      { numRuns: runs(500) },
    );
  });

  it('the two tails add up to one', () => {
    fc.assert(
      fc.property(fc.double({ min: -30, max: 30, noNaN: true }), shape, shape, (x, a, b) => {
        const sums = [
          distributions.normalCumulative(x) + distributions.normalUpperTail(x),
          distributions.studentTCumulative(x, a) + distributions.studentTUpperTail(x, a),
          distributions.chiSquareCumulative(Math.abs(x), a) +
            distributions.chiSquareUpperTail(Math.abs(x), a),
          distributions.betaCumulative(Math.abs(x) / 30, a, b) +
            distributions.betaUpperTail(Math.abs(x) / 30, a, b),
        ];
        for (const sum of sums) expectClose(sum, 1, 'identity');
      }),
    );
  });

  it('the binomial tails are sums of binomial terms', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 60 }),
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        (total, rate) => {
          let below = 0;
          for (let events = 0; events <= total; events += 1) {
            expectClose(distributions.binomialUpperTail(events, total, rate), 1 - below, 'specialFunction', {
              ofSize: below > 0.9 ? 0 : 1,
            });
            below += Math.exp(
              distributions.logBinomialCoefficient(total, events) +
                events * Math.log(rate) +
                (total - events) * Math.log1p(-rate),
            );
            if (below > 0.9) return;
            expectClose(distributions.binomialLowerTail(events, total, rate), below, 'specialFunction');
          }
        },
      ),
    );
  });
});

describe('at the ends and in misuse', () => {
  it('a limit that exists is given', () => {
    expect(distributions.normalUpperTail(Number.POSITIVE_INFINITY)).toBe(0);
    expect(distributions.normalCumulative(Number.POSITIVE_INFINITY)).toBe(1);
    expect(distributions.normalDensity(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(distributions.studentTUpperTail(Number.NEGATIVE_INFINITY, 3)).toBe(1);
    expect(distributions.studentTQuantile(0.5, 3)).toBe(0);
    expect(distributions.chiSquareUpperTail(-1, 3)).toBe(1);
    expect(distributions.chiSquareUpperTail(Number.POSITIVE_INFINITY, 3)).toBe(0);
    expect(distributions.chiSquareQuantile(0, 3)).toBe(0);
    expect(distributions.betaQuantile(1, 2, 3)).toBe(1);
    expect(distributions.betaCumulative(0, 2, 3)).toBe(0);
    expect(distributions.binomialUpperTail(0, 9, 0)).toBe(1);
    expect(distributions.logBinomialCoefficient(0, 0)).toBe(0);
  });

  it('refuses with the name, the bound and the value', () => {
    expect(() => distributions.normalQuantile(1)).toThrow('p must be strictly between 0 and 1, but it is 1');
    expect(() => distributions.studentTUpperTail(1, 0)).toThrow(
      'degreesOfFreedom must be from 1e-6 to 1e9, but it is 0',
    );
    expect(() => distributions.binomialLowerTail(3, 2, 0.5)).toThrow(
      'events must be a whole number from 0 to the total 2',
    );
    expect(() => distributions.studentTQuantile(1e-300, 0.5)).toThrow('small enough to be written');
  });

  it('never takes or gives NaN', () => {
    const odd = fc.oneof(
      fc.constantFrom(
        Number.NaN,
        0,
        1,
        -1,
        0.5,
        1e-320,
        1e308,
        Number.POSITIVE_INFINITY,
        Number.NEGATIVE_INFINITY,
      ),
      fc.double(),
      fc.integer({ min: 0, max: 50 }),
    );
    for (const name of functions) {
      const length = mpmath.find((point) => point.function === name)!.arguments.length;
      fc.assert(
        fc.property(fc.array(odd, { minLength: length, maxLength: length }), (values) => {
          try {
            const value = call({ function: name, arguments: values, value: 0 });
            expect(values.some(Number.isNaN), `${name}(${values}) took NaN`).toBe(false);
            expect(Number.isFinite(value), `${name}(${values}) gave ${value}`).toBe(true);
          } catch (error) {
            expect(error).toBeInstanceOf(RangeError);
          }
        }),
        { numRuns: runs(300) },
      );
    }
  });
});
