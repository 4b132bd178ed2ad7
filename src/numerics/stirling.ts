/**
 * Pieces that let densities of counts be computed without subtracting large logarithms from each other
 * (Loader C, Fast and accurate computation of binomial probabilities, 2000).
 */
import { logGammaOf } from './logGamma.ts';
import { halfLogTwoPi, stirlingSeries } from './stirlingSeries.ts';

/**
 * Error of Stirling's formula: `log(gamma(n + 1)) - ((n + 1/2) log n - n + log(2 pi) / 2)`, for n > 0.
 *
 * Series of NIST DLMF 5.11.1 from 16 on. Below, the recurrence
 * `error(n) = error(n + 1) + (n + 1/2) log(1 + 1/n) - 1` climbs up to it; it loses digits below 1, where
 * the definition itself is safe.
 */
export function stirlingError(n: number): number {
  if (n >= 16) return stirlingSeries(n);
  // Counts and half the degrees of freedom are halves: looked up.
  return Number.isInteger(2 * n) ? ofHalves[2 * n]! : climbed(n);
}

function climbed(n: number): number {
  if (n < 1) return logGammaOf(n + 1) - (n + 0.5) * Math.log(n) + n - halfLogTwoPi;
  let sum = 0;
  let m = n;
  while (m < 16) {
    sum += (m + 0.5) * Math.log1p(1 / m) - 1;
    m += 1;
  }
  return sum + stirlingSeries(m);
}

const ofHalves: readonly number[] = Array.from({ length: 32 }, (_, i) => climbed(i / 2));

/**
 * `x log(x / m) + m - x` for x, m > 0: never negative, and accurate when x is close to m, where the plain
 * formula is all cancellation.
 */
export function deviancePart(x: number, m: number): number {
  const difference = x - m;
  if (Math.abs(difference) > 0.1 * (x + m)) return x * Math.log(x / m) - difference;
  // With v = (x - m) / (x + m), log(x / m) = 2 (v + v^3/3 + v^5/5 + ...).
  const v = difference / (x + m);
  const squared = v * v;
  let sum = difference * v;
  let power = 2 * x * v;
  for (let k = 3; k < 60; k += 2) {
    power *= squared;
    const next = sum + power / k;
    if (next === sum) break;
    sum = next;
  }
  return sum;
}
