/**
 * The distributions the methods need. This file decides, function by function, whose code computes them;
 * `tests/numerics` proves each choice against 40-digit arithmetic and base R.
 *
 * | function | computed by | why |
 * |---|---|---|
 * | normal density | jstat | holds 1e-13 down to 1e-298 |
 * | log gamma | own (`logGamma.ts`) | jstat's holds 13 digits and 11 near its roots; sums of many terms need 15 |
 * | normal tails | own (Cody) | jstat's lower tail is 0 below -9 |
 * | normal quantile | own (Wichura) | jstat and the larger libraries lose digits at p = 1e-10 |
 * | t, chi-square, beta, binomial | own (`incompleteBeta.ts`, `incompleteGamma.ts`) | jstat's incomplete beta and gamma hold 8 to 10 digits, one beta quantile is off by 90 %, and 1 - cdf has no far tail |
 *
 * Larger libraries held the digits too, but cost half a second to load before any notebook could start.
 *
 * Every function throws a RangeError that names the argument, its bound and the value received; none returns
 * NaN. A tail beyond the smallest number a computer holds is 0.
 */
import jStat from 'jstat';
import { betaTailQuantile, betaTails } from './incompleteBeta.ts';
import { gammaTailQuantile, gammaTails } from './incompleteGamma.ts';
import { logGammaOf } from './logGamma.ts';
import { normalQuantileApproximation } from './normalQuantileApproximation.ts';
import { normalTail } from './normalTails.ts';
import { requireNumber } from './requireNumber.ts';
import { studentTTailQuantile, studentTTails } from './studentT.ts';

export { binomialLowerTail, binomialUpperTail, logBinomialCoefficient } from './binomialDistribution.ts';

/**
 * Height of the standard normal curve at x.
 *
 * @example
 * normalDensity(0); // 0.3989
 */
export function normalDensity(x: number): number {
  requireNumber(!Number.isNaN(x), 'x', 'a number', x);
  return jStat.normal.pdf(x, 0, 1);
}

/**
 * Probability of a standard normal value at or below x.
 *
 * @example
 * normalCumulative(-1.96); // 0.025
 */
export function normalCumulative(x: number): number {
  requireNumber(!Number.isNaN(x), 'x', 'a number', x);
  return normalTail(-x);
}

/**
 * Probability of a standard normal value above x, with full digits far out (1 - cumulative has none there).
 *
 * @example
 * normalUpperTail(9); // 1.1286e-19
 */
export function normalUpperTail(x: number): number {
  requireNumber(!Number.isNaN(x), 'x', 'a number', x);
  return normalTail(x);
}

/**
 * The x with this probability at or below it. For a small upper tail q write `-normalQuantile(q)`: 1 - q has
 * already lost the digits.
 *
 * @param p strictly between 0 and 1
 * @example
 * normalQuantile(0.975); // 1.95996
 */
export function normalQuantile(p: number): number {
  requireProbability(p);
  return normalQuantileApproximation(p);
}

/**
 * Probability of a t value at or below x.
 *
 * @param degreesOfFreedom from 1e-6 to 1e9, whole or not
 * @example
 * studentTCumulative(-2.228, 10); // 0.025
 */
export function studentTCumulative(x: number, degreesOfFreedom: number): number {
  return studentTUpperTail(-x, degreesOfFreedom);
}

/**
 * Probability of a t value above x.
 *
 * @param degreesOfFreedom from 1e-6 to 1e9, whole or not
 * @example
 * studentTUpperTail(2.228, 10); // 0.025
 */
export function studentTUpperTail(x: number, degreesOfFreedom: number): number {
  requireNumber(!Number.isNaN(x), 'x', 'a number', x);
  requireShape('degreesOfFreedom', degreesOfFreedom);
  if (x === 0) return 0.5;
  const tail =
    Math.abs(x) === Number.POSITIVE_INFINITY ? 0 : studentTTails(Math.abs(x), degreesOfFreedom).outer;
  return x > 0 ? tail : 1 - tail;
}

/**
 * The t value with this probability at or below it.
 *
 * @param p strictly between 0 and 1
 * @param degreesOfFreedom from 1e-6 to 1e9, whole or not
 * @throws RangeError also where the value is too large to be written (few degrees of freedom, far out)
 * @example
 * studentTQuantile(0.975, 10); // 2.228
 */
export function studentTQuantile(p: number, degreesOfFreedom: number): number {
  requireProbability(p);
  requireShape('degreesOfFreedom', degreesOfFreedom);
  if (p === 0.5) return 0;
  const size = studentTTailQuantile(p < 0.5 ? p : 1 - p, Math.abs(p - 0.5), degreesOfFreedom);
  requireNumber(Number.isFinite(size), 'p', 'at a quantile small enough to be written', p);
  return p < 0.5 ? -size : size;
}

/**
 * Probability of a chi-square value at or below x.
 *
 * @param degreesOfFreedom from 1e-6 to 1e9, whole or not
 * @example
 * chiSquareCumulative(3.841, 1); // 0.95
 */
export function chiSquareCumulative(x: number, degreesOfFreedom: number): number {
  requireNumber(!Number.isNaN(x), 'x', 'a number', x);
  requireShape('degreesOfFreedom', degreesOfFreedom);
  if (x <= 0) return 0;
  return x === Number.POSITIVE_INFINITY ? 1 : Math.exp(gammaTails(degreesOfFreedom / 2, x / 2).logLower);
}

/**
 * Probability of a chi-square value above x (the p-value of Q), with full digits far out.
 *
 * @param degreesOfFreedom from 1e-6 to 1e9, whole or not
 * @example
 * chiSquareUpperTail(152.233, 12); // 2.0e-26
 */
export function chiSquareUpperTail(x: number, degreesOfFreedom: number): number {
  requireNumber(!Number.isNaN(x), 'x', 'a number', x);
  requireShape('degreesOfFreedom', degreesOfFreedom);
  if (x <= 0) return 1;
  return x === Number.POSITIVE_INFINITY ? 0 : Math.exp(gammaTails(degreesOfFreedom / 2, x / 2).logUpper);
}

/**
 * The chi-square value with this probability at or below it.
 *
 * @param p from 0, below 1
 * @param degreesOfFreedom from 1e-6 to 1e9, whole or not
 * @example
 * chiSquareQuantile(0.95, 1); // 3.841
 */
export function chiSquareQuantile(p: number, degreesOfFreedom: number): number {
  requireNumber(p >= 0 && p < 1, 'p', 'from 0 and below 1', p);
  requireShape('degreesOfFreedom', degreesOfFreedom);
  return p === 0 ? 0 : 2 * gammaTailQuantile(p, 1 - p, degreesOfFreedom / 2);
}

/**
 * The chi-square value with this probability above it, for upper tails too small for `1 - p` to hold.
 *
 * @param q above 0, at most 1
 * @param degreesOfFreedom from 1e-6 to 1e9, whole or not
 * @example
 * chiSquareUpperQuantile(1e-20, 3); // 96.1
 */
export function chiSquareUpperQuantile(q: number, degreesOfFreedom: number): number {
  requireNumber(q > 0 && q <= 1, 'q', 'above 0 and at most 1', q);
  requireShape('degreesOfFreedom', degreesOfFreedom);
  return q === 1 ? 0 : 2 * gammaTailQuantile(1 - q, q, degreesOfFreedom / 2);
}

/**
 * Probability of a beta value at or below x (the regularised incomplete beta function).
 *
 * @param x from 0 to 1
 * @param a from 1e-6 to 1e9
 * @param b from 1e-6 to 1e9
 * @example
 * betaCumulative(0.5, 2, 2); // 0.5
 */
export function betaCumulative(x: number, a: number, b: number): number {
  requireBeta(x, a, b);
  return x === 0 || x === 1 ? x : Math.exp(betaTails(x, 1 - x, a, b).logLower);
}

/**
 * Probability of a beta value above x, with full digits near 1.
 *
 * @param x from 0 to 1
 * @param a from 1e-6 to 1e9
 * @param b from 1e-6 to 1e9
 * @example
 * betaUpperTail(0.9, 2, 20); // 1.9e-19
 */
export function betaUpperTail(x: number, a: number, b: number): number {
  requireBeta(x, a, b);
  return x === 0 || x === 1 ? 1 - x : Math.exp(betaTails(x, 1 - x, a, b).logUpper);
}

/**
 * The beta value with this probability at or below it. The value with probability q above it is
 * `1 - betaQuantile(q, b, a)`.
 *
 * @param p from 0 to 1
 * @param a from 1e-6 to 1e9
 * @param b from 1e-6 to 1e9
 * @example
 * betaQuantile(0.025, 3, 58); // 0.0104
 */
export function betaQuantile(p: number, a: number, b: number): number {
  requireNumber(p >= 0 && p <= 1, 'p', 'from 0 to 1', p);
  requireShape('a', a);
  requireShape('b', b);
  if (p === 0 || p === 1) return p;
  return betaTailQuantile(p, a, b);
}

/**
 * Logarithm of the gamma function. To the last digits, its roots at 1 and 2 included.
 *
 * @param x from 1e-300 to 1e300
 * @example
 * logGamma(5); // log(24)
 */
export function logGamma(x: number): number {
  requireNumber(x >= 1e-300 && x <= 1e300, 'x', 'from 1e-300 to 1e300', x);
  return logGammaOf(x);
}

function requireProbability(p: number): void {
  requireNumber(p > 0 && p < 1, 'p', 'strictly between 0 and 1', p);
}

/** Shapes and degrees of freedom: beyond these bounds no study goes, and the continued fractions grow long. */
function requireShape(name: string, value: number): void {
  requireNumber(value >= 1e-6 && value <= 1e9, name, 'from 1e-6 to 1e9', value);
}

function requireBeta(x: number, a: number, b: number): void {
  requireNumber(x >= 0 && x <= 1, 'x', 'from 0 to 1', x);
  requireShape('a', a);
  requireShape('b', b);
}
