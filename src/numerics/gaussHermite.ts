import { logGamma } from './distributions.ts';

/** Nodes and weights of a quadrature rule, nodes ascending. */
export interface QuadratureRule {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
}

/** Rules already built. A rule depends on its size alone, so sharing them cannot change a result. */
const rules = new Map<number, QuadratureRule>();
const pointsLimit = 150;

/**
 * Which points and weights integrate a function against the standard normal density?
 *
 * The integral of `f(x) φ(x)` is the sum of `weights[i] * f(nodes[i])`, exact for polynomials up to degree
 * `2 * points - 1`. The nodes are the roots of the probabilists' Hermite polynomial, found by Newton steps
 * on its three-term recurrence (normalised, so that it does not overflow) and the weights follow from the
 * polynomial of one degree less.
 *
 * Source: Golub GH, Welsch JH, Math Comp 1969;23:221-230 (rule); Abramowitz and Stegun 25.4.46 (weights).
 *
 * @param points number of points, 1 to 150
 * @throws RangeError when `points` is not a whole number from 1 to 150
 *
 * @example
 * gaussHermite(3).nodes // -1.732, 0, 1.732 with weights 1/6, 2/3, 1/6
 */
export function gaussHermite(points: number): QuadratureRule {
  if (!Number.isInteger(points) || points < 1 || points > pointsLimit) {
    throw new RangeError(`points must be a whole number from 1 to ${pointsLimit}, received ${points}`);
  }
  let rule = rules.get(points);
  if (!rule) {
    rule = buildRule(points);
    rules.set(points, rule);
  }
  return rule;
}

function buildRule(points: number): QuadratureRule {
  const nodes = new Float64Array(points);
  const weights = new Float64Array(points);
  // Polynomials normalised by sqrt(n!): h[n+1] = (x h[n] - sqrt(n) h[n-1]) / sqrt(n+1), and h'[n] = sqrt(n) h[n-1].
  const evaluate = (x: number): [value: number, oneLess: number] => {
    let previous = 0;
    let current = 1;
    for (let degree = 0; degree < points; degree++) {
      const next = (x * current - Math.sqrt(degree) * previous) / Math.sqrt(degree + 1);
      previous = current;
      current = next;
    }
    return [current, previous];
  };
  const half = Math.floor(points / 2);
  // Roots are bracketed one by one from the largest down: they are at least this far apart (Szegő 1975, 6.31).
  const gap = Math.PI / Math.sqrt(points + 0.5) / 2;
  let upper = 2 * Math.sqrt(points) + 1;
  for (let index = 0; index < half; index++) {
    let high = upper;
    let low = high - gap;
    while (Math.sign(evaluate(low)[0]) === Math.sign(evaluate(high)[0])) {
      high = low;
      low -= gap;
    }
    const signHigh = Math.sign(evaluate(high)[0]);
    let x = 0.5 * (low + high);
    for (let iteration = 0; iteration < 100; iteration++) {
      const [value, oneLess] = evaluate(x);
      if (Math.sign(value) === signHigh) high = x;
      else low = x;
      let next = x - value / (Math.sqrt(points) * oneLess);
      if (!(next > low && next < high)) next = 0.5 * (low + high);
      const moved = Math.abs(next - x);
      x = next;
      if (moved <= 2 * Number.EPSILON * Math.abs(x)) break;
    }
    const oneLess = evaluate(x)[1];
    const weight = 1 / (points * oneLess * oneLess);
    nodes[points - 1 - index] = x;
    nodes[index] = -x;
    weights[points - 1 - index] = weight;
    weights[index] = weight;
    upper = low - gap * 1e-9;
  }
  if (points % 2 === 1) {
    // At zero the normalised polynomial of even degree n has the closed form (n-1)!! / sqrt(n!).
    const n = points - 1;
    const square = Math.exp(logGamma(n + 1) - 2 * (logGamma(n / 2 + 1) + (n / 2) * Math.LN2));
    nodes[half] = 0;
    weights[half] = 1 / (points * square);
  }
  return { nodes, weights };
}
