/** How a search for a root ended. */
export interface RootSearch {
  readonly root: number;
  readonly iterations: number;
  readonly converged: boolean;
}

/** Writes the function's value to `out[0]` and its slope to `out[1]`. */
export type ValueAndSlope = (x: number, out: Float64Array) => void;

/** Enough for a bisection through every double; a Newton search takes a handful. */
const iterationLimit = 2200;

/**
 * Where between two bounds does an increasing function cross zero, when its slope is known?
 *
 * Newton steps, each checked against the bracket found so far and replaced by a bisection when it would
 * leave it or when steps stop shrinking, so that it ends for any increasing function. Stops when a step
 * no longer changes `x` by more than two units in its last place.
 *
 * Source: Press et al., Numerical Recipes, 3rd ed. 2007, section 9.4 (Newton-Raphson with bisection).
 *
 * @param evaluate writes value and slope
 * @param lower lower bound; a function already above zero there gives `lower`
 * @param upper upper bound; a function still below zero there gives `upper` with `converged: false`
 * @param start first guess, anywhere between the bounds
 * @throws RangeError when the bounds are not finite or out of order
 *
 * @example
 * findIncreasingRoot((x, out) => { out[0] = x * x - 2; out[1] = 2 * x; }, 0, 2, 1).root // 1.4142135623730951
 */
export function findIncreasingRoot(
  evaluate: ValueAndSlope,
  lower: number,
  upper: number,
  start: number,
): RootSearch {
  if (!(Number.isFinite(lower) && Number.isFinite(upper) && lower <= upper)) {
    throw new RangeError(`bounds must be finite and in order, received ${lower} and ${upper}`);
  }
  const out = new Float64Array(2);
  let low = lower;
  let high = upper;
  let x = Math.min(Math.max(start, low), high);
  let previousStep = high - low;
  for (let iteration = 1; iteration <= iterationLimit; iteration++) {
    evaluate(x, out);
    const value = out[0]!;
    const slope = out[1]!;
    if (value === 0) return { root: x, iterations: iteration, converged: true };
    if (value < 0) low = x;
    else high = x;
    let next = x - value / slope;
    const newton = next > low && next < high && Math.abs(next - x) <= 0.75 * Math.abs(previousStep);
    if (!newton) next = 0.5 * (low + high);
    const step = next - x;
    const shrink = newton ? Math.abs(step / previousStep) : 1;
    previousStep = step;
    x = next;
    // Newton steps shrink quadratically: the next one would be this one times the square of how much it shrank. Where
    // that is below rounding there is no need to look again.
    if (shrink <= 1e-3 && Math.abs(step) * shrink * shrink <= 1e-17 * Math.abs(x) && x > lower && x < upper) {
      return { root: x, iterations: iteration, converged: true };
    }
    if (Math.abs(step) <= 2 * Number.EPSILON * Math.abs(x) || high - low <= Number.MIN_VALUE) {
      return atBound(evaluate, out, low === lower, high === upper, lower, upper, x, iteration);
    }
  }
  return { root: x, iterations: iterationLimit, converged: false };
}

/** A search that never saw one of the signs has run into a bound: the bound itself decides. */
function atBound(
  evaluate: ValueAndSlope,
  out: Float64Array,
  neverBelow: boolean,
  neverAbove: boolean,
  lower: number,
  upper: number,
  root: number,
  iterations: number,
): RootSearch {
  if (neverAbove) {
    evaluate(upper, out);
    if (out[0]! < 0) return { root: upper, iterations, converged: false };
  }
  if (neverBelow) {
    evaluate(lower, out);
    if (out[0]! >= 0) return { root: lower, iterations, converged: true };
  }
  return { root, iterations, converged: true };
}

/**
 * Where between two bounds does a continuous function change sign?
 *
 * Brent's method: inverse quadratic and secant steps inside a bracket, bisection when they do not help.
 *
 * Source: Brent RP, Algorithms for Minimization without Derivatives, 1973, chapter 4.
 *
 * @throws RangeError when the function has the same sign at both bounds, naming the values received
 *
 * @example
 * findRoot((x) => Math.cos(x) - x, 0, 1).root // 0.7390851332151607
 */
export function findRoot(evaluate: (x: number) => number, lower: number, upper: number): RootSearch {
  let a = lower;
  let b = upper;
  let valueA = evaluate(a);
  let valueB = evaluate(b);
  if (valueA === 0) return { root: a, iterations: 0, converged: true };
  if (valueB === 0) return { root: b, iterations: 0, converged: true };
  if (!(valueA * valueB < 0)) {
    throw new RangeError(
      `the function must change sign between ${lower} and ${upper}, received ${valueA} and ${valueB}`,
    );
  }
  let c = a;
  let valueC = valueA;
  let step = b - a;
  let stepBefore = step;
  for (let iteration = 1; iteration <= iterationLimit; iteration++) {
    if (Math.abs(valueC) < Math.abs(valueB)) {
      [a, b, c] = [b, c, b];
      [valueA, valueB, valueC] = [valueB, valueC, valueB];
    }
    const tolerance = 2 * Number.EPSILON * Math.abs(b);
    const half = 0.5 * (c - b);
    if (Math.abs(half) <= tolerance || valueB === 0)
      return { root: b, iterations: iteration, converged: true };
    if (Math.abs(stepBefore) < tolerance || Math.abs(valueA) <= Math.abs(valueB)) {
      step = half;
      stepBefore = half;
    } else {
      const ratio = valueB / valueA;
      let numerator: number;
      let denominator: number;
      if (a === c) {
        numerator = 2 * half * ratio;
        denominator = 1 - ratio;
      } else {
        const q = valueA / valueC;
        const r = valueB / valueC;
        numerator = ratio * (2 * half * q * (q - r) - (b - a) * (r - 1));
        denominator = (q - 1) * (r - 1) * (ratio - 1);
      }
      if (numerator > 0) denominator = -denominator;
      else numerator = -numerator;
      if (
        2 * numerator <
        Math.min(
          3 * half * denominator - Math.abs(tolerance * denominator),
          Math.abs(stepBefore * denominator),
        )
      ) {
        stepBefore = step;
        step = numerator / denominator;
      } else {
        step = half;
        stepBefore = half;
      }
    }
    a = b;
    valueA = valueB;
    b += Math.abs(step) > tolerance ? step : tolerance * Math.sign(half);
    valueB = evaluate(b);
    if (valueB > 0 === valueC > 0) {
      c = a;
      valueC = valueA;
      step = b - a;
      stepBefore = step;
    }
  }
  return { root: b, iterations: iterationLimit, converged: false };
}
