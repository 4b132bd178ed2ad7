import erfc from '@stdlib/math-base-special-erfc';
import gammainc from '@stdlib/math-base-special-gammainc';
import gammaincinv from '@stdlib/math-base-special-gammaincinv';
import gammaln from '@stdlib/math-base-special-gammaln';
import betaCdf from '@stdlib/stats-base-dists-beta-cdf';
import betaInverse from '@stdlib/stats-base-dists-beta-quantile';
import normalInverse from '@stdlib/stats-base-dists-normal-quantile';
import tCdf from '@stdlib/stats-base-dists-t-cdf';
import tInverse from '@stdlib/stats-base-dists-t-quantile';

export const normalDensity = (x: number): number => Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI);
export const normalCumulative = (x: number): number => 0.5 * erfc(-x / Math.SQRT2);
export const normalUpperTail = (x: number): number => 0.5 * erfc(x / Math.SQRT2);
export const normalQuantile = (p: number): number => normalInverse(p, 0, 1);
export const studentTCumulative = (x: number, degreesOfFreedom: number): number => tCdf(x, degreesOfFreedom);
export const studentTUpperTail = (x: number, degreesOfFreedom: number): number => tCdf(-x, degreesOfFreedom);
export const studentTQuantile = (p: number, degreesOfFreedom: number): number =>
  tInverse(p, degreesOfFreedom);
export const chiSquareCumulative = (x: number, degreesOfFreedom: number): number =>
  x <= 0 ? 0 : gammainc(x / 2, degreesOfFreedom / 2, true, false);
export const chiSquareUpperTail = (x: number, degreesOfFreedom: number): number =>
  x <= 0 ? 1 : gammainc(x / 2, degreesOfFreedom / 2, true, true);
export const chiSquareQuantile = (p: number, degreesOfFreedom: number): number =>
  2 * gammaincinv(p, degreesOfFreedom / 2, false);
export const betaCumulative = (x: number, a: number, b: number): number => betaCdf(x, a, b);
export const betaQuantile = (p: number, a: number, b: number): number => betaInverse(p, a, b);
export const logGamma = (x: number): number => gammaln(x);
