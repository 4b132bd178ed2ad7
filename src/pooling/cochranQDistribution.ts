import { laplaceInversion } from '../numerics/laplaceInversion.ts';
import type { PooledSample } from './pooledSample.ts';

/**
 * How probable is a Cochran Q no larger than this, if the between-study variance were so much?
 *
 * With weights `a = 1 / v`, Q is a quadratic form in normal values. Its Laplace transform is
 * `[Π (1 + 2 s d) · Σ (a / Σ a) / (1 + 2 s d)]^(-1/2)` with `d = a (v + τ²)`, which is inverted numerically: exact
 * to about 1e-12, no simulation and no moment matching. At τ² = 0 it is the chi-square with k - 1 degrees of
 * freedom.
 *
 * Source: Biggerstaff BJ, Jackson D, Stat Med 2008;27:6093-6110 (the form); Jackson D, Res Synth Methods
 * 2013;4:220-229, section 2.
 */
export function cochranQCumulative(sample: PooledSample, q: number, betweenStudyVariance: number): number {
  // Below this the probability is zero to every digit, and the contour would leave the range of numbers.
  if (!(q > 1e-100)) return 0;
  const { count, variances } = sample;
  let weightSum = 0;
  for (let i = 0; i < count; i++) weightSum += 1 / variances[i]!;
  const probability = laplaceInversion((real, imaginary, out) => {
    let logModulus = 0;
    let angle = 0;
    let sumReal = 0;
    let sumImaginary = 0;
    for (let i = 0; i < count; i++) {
      const weight = 1 / variances[i]!;
      const scale = 2 * (1 + weight * betweenStudyVariance);
      const a = 1 + scale * real;
      const b = scale * imaginary;
      const square = a * a + b * b;
      logModulus += 0.5 * Math.log(square);
      angle += Math.atan2(b, a);
      const share = weight / weightSum / square;
      sumReal += share * a;
      sumImaginary -= share * b;
    }
    logModulus += 0.5 * Math.log(sumReal * sumReal + sumImaginary * sumImaginary);
    angle += Math.atan2(sumImaginary, sumReal);
    // Divided by s: the distribution function instead of the density.
    out[0] = -0.5 * logModulus - 0.5 * Math.log(real * real + imaginary * imaginary);
    out[1] = -0.5 * angle - Math.atan2(imaginary, real);
  }, q);
  return Math.min(1, Math.max(0, probability));
}
