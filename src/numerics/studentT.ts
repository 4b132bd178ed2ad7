import { betaTails } from './incompleteBeta.ts';
import { normalQuantileApproximation } from './normalQuantileApproximation.ts';
import { stirlingError } from './stirling.ts';
import { farthestLog, tailQuantile } from './tailQuantile.ts';

/** For t > 0: the area above t, the area from 0 to t, and t times the density, with their logarithms. */
interface StudentTTails {
  readonly outer: number;
  readonly inner: number;
  readonly logOuter: number;
  readonly slope: number;
}

/** NIST DLMF 8.17 with x = df / (df + t^2); written so that t^2 cannot overflow. */
export function studentTTails(t: number, degreesOfFreedom: number): StudentTTails {
  const ratio = (t / degreesOfFreedom) * t;
  if (ratio < 1e-300) {
    // Too near the middle for the incomplete beta function; the area is the height times t.
    const inner = t * heightAtZero(degreesOfFreedom);
    return { outer: 0.5 - inner, inner, logOuter: Math.log(0.5 - inner), slope: inner };
  }
  const x = 1 / (1 + ratio);
  const y = ratio === Number.POSITIVE_INFINITY ? 1 : ratio * x;
  if (x === 0) return { outer: 0, inner: 0.5, logOuter: Number.NEGATIVE_INFINITY, slope: 0 };
  const tails = betaTails(x, y, degreesOfFreedom / 2, 0.5);
  return {
    outer: 0.5 * Math.exp(tails.logLower),
    inner: 0.5 * Math.exp(tails.logUpper),
    logOuter: tails.logLower - Math.LN2,
    slope: Math.exp(tails.logSlope),
  };
}

/**
 * The t > 0 with area `outer` above it. `inner` is 1/2 - outer, given apart because it is exact when the
 * probability was near one half.
 */
export function studentTTailQuantile(outer: number, inner: number, degreesOfFreedom: number): number {
  if (degreesOfFreedom === 1) return inner < 0.25 ? Math.tan(Math.PI * inner) : 1 / Math.tan(Math.PI * outer);
  if (degreesOfFreedom === 2) return inner / Math.sqrt((outer * (1 - outer)) / 2);
  const start = hill(outer, degreesOfFreedom);
  if (inner < 0.25) return innerQuantile(inner, degreesOfFreedom);
  const logT = tailQuantile(
    (s) => {
      const tails = studentTTails(Math.exp(s), degreesOfFreedom);
      return { logTail: tails.logOuter, slope: -tails.slope / tails.outer };
    },
    Math.log(outer),
    Math.log(start),
  );
  return logT >= farthestLog ? Number.POSITIVE_INFINITY : Math.exp(logT);
}

/** The area from 0 to t rises and bends down, so Newton's method from the left never oversteps. */
function innerQuantile(inner: number, degreesOfFreedom: number): number {
  let t = inner / heightAtZero(degreesOfFreedom);
  for (let i = 0; i < 200; i += 1) {
    const tails = studentTTails(t, degreesOfFreedom);
    const step = ((inner - tails.inner) / tails.slope) * t;
    t += step;
    if (Math.abs(step) <= 1e-15 * t) break;
  }
  return t;
}

/** Height of the t density at 0: gamma((df + 1) / 2) / (sqrt(df pi) gamma(df / 2)). */
function heightAtZero(degreesOfFreedom: number): number {
  const a = degreesOfFreedom / 2;
  const n = a + 0.5;
  // Both Stirling formulas divided, so that no large logarithms are subtracted.
  const logRatio = stirlingError(n) - stirlingError(a) - 0.5 + a * Math.log1p(0.5 / a);
  return Math.exp(logRatio) / Math.sqrt(2 * Math.PI);
}

/**
 * A first value: Hill GW, Algorithm 396, CACM 1970;13:619-620, from one degree of freedom on; below, the far
 * tail's power law.
 */
function hill(outer: number, degreesOfFreedom: number): number {
  const n = degreesOfFreedom;
  const a = 1 / (n - 0.5);
  const b = 48 / (a * a);
  let c = ((20700 * (a / b) - 98) * a - 16) * a + 96.36;
  const d = ((94.5 / (b + c) - 3) / b + 1) * Math.sqrt((a * Math.PI) / 2) * n;
  if (n < 1) {
    const logTail = Math.log(heightAtZero(n)) + ((n - 1) / 2) * Math.log(n);
    return Math.exp(Math.min(700, (logTail - Math.log(outer)) / n));
  }
  let y = (d * 2 * outer) ** (2 / n);
  if (y > 0.05 + a) {
    const x = normalQuantileApproximation(outer);
    y = x * x;
    if (n < 5) c += 0.3 * (n - 4.5) * (x + 0.6);
    c = (((0.05 * d * x - 5) * x - 7) * x - 2) * x + b + c;
    y = (((((0.4 * y + 6.3) * y + 36) * y + 94.5) / c - y - 3) / b + 1) * x;
    y = Math.expm1(a * y * y);
  } else {
    y =
      ((1 / (((n + 6) / (n * y) - 0.089 * d - 0.822) * (n + 2) * 3) + 0.5 / (n + 4)) * y - 1) *
        ((n + 1) / (n + 2)) +
      1 / y;
  }
  const start = Math.sqrt(n * y);
  return start > 0 && start < Number.POSITIVE_INFINITY ? start : -normalQuantileApproximation(outer);
}
