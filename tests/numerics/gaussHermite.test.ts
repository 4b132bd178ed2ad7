import { describe, expect, test } from 'vitest';
import { gaussHermite } from '../../src/numerics/gaussHermite.ts';

describe('gaussHermite', () => {
  test('the three-point rule', () => {
    const { nodes, weights } = gaussHermite(3);
    const expected = [
      [-Math.sqrt(3), 1 / 6],
      [0, 2 / 3],
      [Math.sqrt(3), 1 / 6],
    ];
    expected.forEach(([node, weight], i) => {
      expect(Math.abs(nodes[i]! - node!)).toBeLessThanOrEqual(4e-16);
      expect(Math.abs(weights[i]! - weight!)).toBeLessThanOrEqual(4e-16);
    });
  });

  test('printed nodes of the 20-point rule', () => {
    // Abramowitz and Stegun, table 25.10, n = 20: largest root 5.38748 08900 11 for weight exp(-x²); here times √2.
    const { nodes } = gaussHermite(20);
    expect(Math.abs(nodes[19]! / Math.SQRT2 - 5.387480890011)).toBeLessThanOrEqual(1e-12);
  });

  test('moments of the normal distribution, for every size of rule', () => {
    for (let points = 1; points <= 150; points++) {
      const { nodes, weights } = gaussHermite(points);
      let odd = 1;
      for (let power = 0; power <= Math.min(2 * points - 1, 20); power += 2) {
        let sum = 0;
        for (let i = 0; i < points; i++) sum += weights[i]! * nodes[i]! ** power;
        // E[x^p] = (p - 1)!!
        if (power > 0) odd *= power - 1;
        expect(Math.abs(sum / odd - 1)).toBeLessThanOrEqual(1e-13);
      }
      for (let i = 1; i < points; i++) expect(nodes[i]!).toBeGreaterThan(nodes[i - 1]!);
    }
  });

  test('the normal characteristic function', () => {
    const { nodes, weights } = gaussHermite(25);
    let sum = 0;
    nodes.forEach((x, i) => {
      sum += weights[i]! * Math.cos(x);
    });
    expect(Math.abs(sum - Math.exp(-0.5))).toBeLessThanOrEqual(1e-14);
  });

  test('an impossible size throws', () => {
    expect(() => gaussHermite(0)).toThrow('from 1 to 150, received 0');
    expect(() => gaussHermite(2.5)).toThrow('received 2.5');
  });
});
