import { logGammaOf } from './logGamma.ts';
import { normalQuantileApproximation } from './normalQuantileApproximation.ts';
import { deviancePart, stirlingError } from './stirling.ts';
import { halfLogTwoPi } from './stirlingSeries.ts';
import { farthestLog, tailQuantile } from './tailQuantile.ts';

/** Logarithms of the two tails of a gamma distribution, and of `x` times its density (both at x). */
export interface GammaTails {
  readonly logLower: number;
  readonly logUpper: number;
  /** log(x times the density at x): the slope of either tail against log x. */
  readonly logSlope: number;
}

/**
 * Both tails of the gamma distribution with this shape and scale 1, as logarithms, for shape > 0 and
 * 0 < x < infinity.
 *
 * Below shape + 1 the series of NIST DLMF 8.7.1 gives the lower tail, above it the continued fraction of
 * DLMF 8.9.2 the upper; the other tail is the complement, which is never the small one there.
 */
export function gammaTails(shape: number, x: number): GammaTails {
  const logTerm =
    shape < 1
      ? shape * Math.log(x) - x - logGammaOf(shape + 1)
      : -deviancePart(shape, x) - stirlingError(shape) - halfLogTwoPi - 0.5 * Math.log(shape);
  const logSlope = logTerm + Math.log(shape);
  if (x < shape + 1) {
    const logLower = logTerm + Math.log(lowerSeries(shape, x));
    return { logLower, logUpper: logComplement(logLower), logSlope };
  }
  const logUpper = logSlope + Math.log(upperFraction(shape, x));
  return { logLower: logComplement(logUpper), logUpper, logSlope };
}

/**
 * The gamma value with probability p at or below it and q = 1 - p above it; the smaller one decides.
 *
 * Starts from Wilson EB, Hilferty MM, PNAS 1931;17:684-688, or from the first term of the series near 0.
 */
export function gammaTailQuantile(p: number, q: number, shape: number): number {
  const lower = p < 0.5;
  const z = lower ? normalQuantileApproximation(p) : -normalQuantileApproximation(q);
  const root = 1 - 1 / (9 * shape) + z / Math.sqrt(9 * shape);
  const nearZero = (Math.log(p) + logGammaOf(shape + 1)) / shape;
  const logX = tailQuantile(
    (s) => {
      const tails = gammaTails(shape, Math.exp(s));
      const logTail = lower ? tails.logLower : tails.logUpper;
      return { logTail, slope: (lower ? 1 : -1) * Math.exp(tails.logSlope - logTail) };
    },
    Math.log(lower ? p : q),
    root > 0.2 ? Math.log(shape) + 3 * Math.log(root) : nearZero,
  );
  return logX <= -farthestLog ? 0 : Math.exp(logX);
}

/** log(1 - exp(l)) for l <= 0. */
export function logComplement(logarithm: number): number {
  return logarithm > -Math.LN2
    ? Math.log(-Math.expm1(Math.min(logarithm, -Number.MIN_VALUE)))
    : Math.log1p(-Math.exp(logarithm));
}

function lowerSeries(shape: number, x: number): number {
  let term = 1;
  let sum = 1;
  for (let n = 1; term > sum * 1e-17; n += 1) {
    term *= x / (shape + n);
    sum += term;
  }
  return sum;
}

/** Lentz's method (Thompson and Barnett 1986). */
function upperFraction(shape: number, x: number): number {
  const tiny = 1e-300;
  let b = x + 1 - shape;
  let c = 1 / tiny;
  let d = 1 / b;
  let value = d;
  for (let n = 1; n < 100_000; n += 1) {
    const a = -n * (n - shape);
    b += 2;
    d = a * d + b;
    if (Math.abs(d) < tiny) d = tiny;
    c = b + a / c;
    if (Math.abs(c) < tiny) c = tiny;
    d = 1 / d;
    const factor = d * c;
    value *= factor;
    if (Math.abs(factor - 1) < 2e-16) break;
  }
  return value;
}
