import { logComplement } from './incompleteGamma.ts';
import { normalQuantileApproximation } from './normalQuantileApproximation.ts';
import { deviancePart, stirlingError } from './stirling.ts';
import { halfLogTwoPi } from './stirlingSeries.ts';
import { farthestLog, tailQuantile } from './tailQuantile.ts';

/** Logarithms of the two tails of a beta distribution, and of `x (1 - x)` times its density (all at x). */
export interface BetaTails {
  readonly logLower: number;
  readonly logUpper: number;
  /** log(x (1 - x) times the density at x): the slope of either tail against the logit of x. */
  readonly logSlope: number;
}

/**
 * Both tails of the beta distribution, as logarithms, for a, b > 0 and 0 < x < 1.
 *
 * `y` is 1 - x, given apart because a caller often knows it to more digits than the subtraction keeps.
 * The continued fraction of NIST DLMF 8.17.22 is used on the side of the mean where it converges fast,
 * so that the tail computed directly is the smaller one or near it.
 */
export function betaTails(x: number, y: number, a: number, b: number): BetaTails {
  const n = a + b;
  // log of x^a y^b / B(a, b)
  const logSlope =
    stirlingError(n) -
    stirlingError(a) -
    stirlingError(b) -
    deviancePart(a, n * x) -
    deviancePart(b, n * y) -
    halfLogTwoPi +
    0.5 * Math.log((a / n) * b);
  if (x * (n + 2) < a + 1) {
    const logLower = logSlope + Math.log(fraction(x, y, a, b));
    return { logLower, logUpper: logComplement(logLower), logSlope };
  }
  const logUpper = logSlope + Math.log(fraction(y, x, b, a));
  return { logLower: logComplement(logUpper), logUpper, logSlope };
}

/**
 * The beta value with probability p at or below it, strictly between 0 and 1. Solved on the logit of x, where both
 * tails are log-concave and both x and 1 - x keep their digits.
 */
export function betaTailQuantile(p: number, a: number, b: number): number {
  const lower = p < 0.5;
  const logit = tailQuantile(
    (s) => {
      const tails = betaTails(1 / (1 + Math.exp(-s)), 1 / (1 + Math.exp(s)), a, b);
      const logTail = lower ? tails.logLower : tails.logUpper;
      return { logTail, slope: (lower ? 1 : -1) * Math.exp(tails.logSlope - logTail) };
    },
    lower ? Math.log(p) : Math.log1p(-p),
    Math.log(a / b) + normalQuantileApproximation(p) * Math.sqrt(1 / a + 1 / b),
  );
  if (Math.abs(logit) >= farthestLog) return logit < 0 ? 0 : 1;
  return logit < 0 ? Math.exp(logit) / (1 + Math.exp(logit)) : 1 / (1 + Math.exp(-logit));
}

/**
 * Lower tail divided by x^a y^b / B(a, b), in the contracted form that subtracts nothing from 1 where x or y is
 * close to it (Didonato AR, Morris AH, ACM TOMS 1992;18:360-373, equation for BFRAC).
 */
function fraction(x: number, y: number, a: number, b: number): number {
  // 1 + a - (a + b) x, from whichever of x and y is the small one
  const c = 1 + (x < y ? a - (a + b) * x : (a + b) * y - b);
  const c0 = b / a;
  const c1 = 1 + 1 / a;
  let p = 1;
  let s = a + 1;
  let topBefore = 0;
  let bottomBefore = 1;
  let bottom = c / c1;
  let top = 1;
  let value = c1 / c;
  for (let n = 1; n < 100_000; n += 1) {
    const t = n / a;
    const w = n * (b - n) * x;
    const e = a / s;
    const alpha = p * (p + c0) * e * e * w * x;
    const beta = n + w / s + ((t + 1) / (c1 + t + t)) * (c + n * (y + 1));
    p = t + 1;
    s += 2;
    const nextTop = alpha * topBefore + beta * top;
    const nextBottom = alpha * bottomBefore + beta * bottom;
    const before = value;
    value = nextTop / nextBottom;
    if (Math.abs(value - before) <= 2e-16 * value) break;
    topBefore = top / nextBottom;
    bottomBefore = bottom / nextBottom;
    top = value;
    bottom = 1;
  }
  return value;
}
