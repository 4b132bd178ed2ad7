import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { findIncreasingRoot, findRoot } from '../../src/numerics/rootFinding.ts';

describe('findIncreasingRoot', () => {
  test('the square root of two', () => {
    const { root, converged } = findIncreasingRoot(
      (x, out) => {
        out[0] = x * x - 2;
        out[1] = 2 * x;
      },
      0,
      2,
      0.1,
    );
    expect(converged).toBe(true);
    expect(Math.abs(root - Math.SQRT2)).toBeLessThanOrEqual(4 * Number.EPSILON);
  });

  test('any root of a steep or a flat function, from any start', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.double({ min: -100, max: 100, noNaN: true }),
        fc.constantFrom(
          (x: number, out: Float64Array) => {
            out[0] = Math.expm1(x);
            out[1] = Math.exp(x);
          },
          (x: number, out: Float64Array) => {
            out[0] = Math.atan(20 * x);
            out[1] = 20 / (1 + 400 * x * x);
          },
          (x: number, out: Float64Array) => {
            out[0] = x ** 3;
            out[1] = 3 * x * x;
          },
        ),
        (root, start, shape) => {
          const found = findIncreasingRoot((x, out) => shape(x - root, out), -100, 100, start);
          expect(found.converged).toBe(true);
          // A triple root is only as sharp as its value: x³ underflows long before x does.
          expect(Math.abs(found.root - root)).toBeLessThanOrEqual(1e-12 * Math.max(1, Math.abs(root)));
        },
      ),
    );
  });

  test('a function below zero throughout ends at the upper bound, not converged', () => {
    const found = findIncreasingRoot(
      (x, out) => {
        out[0] = x - 10;
        out[1] = 1;
      },
      0,
      5,
      1,
    );
    expect(found.converged).toBe(false);
    expect(found.root).toBe(5);
  });

  test('bounds out of order throw', () => {
    expect(() => findIncreasingRoot(() => undefined, 2, 1, 1)).toThrow('received 2 and 1');
  });
});

describe('findRoot', () => {
  test('the fixed point of the cosine', () => {
    // Dottie number, OEIS A003957.
    expect(Math.abs(findRoot((x) => Math.cos(x) - x, 0, 1).root - 0.7390851332151607)).toBeLessThanOrEqual(
      2 * Number.EPSILON,
    );
  });

  test('odd functions without a usable slope', () => {
    expect(
      Math.abs(findRoot((x) => Math.sign(x - 0.3) * Math.sqrt(Math.abs(x - 0.3)), -4, 9).root - 0.3),
    ).toBeLessThan(1e-15);
    expect(findRoot((x) => x, -1, 1).root).toBe(0);
  });

  test('no change of sign throws with the values received', () => {
    expect(() => findRoot((x) => x * x + 1, -1, 1)).toThrow('between -1 and 1, received 2 and 2');
  });
});
