/** Natural logarithm of a complex function: writes its real part to `out[0]` and its imaginary part to `out[1]`. */
export type ComplexLogarithm = (real: number, imaginary: number, out: Float64Array) => void;

const points = 32;

/**
 * What function has this Laplace transform, at one point?
 *
 * f(x) = (1/2πi)∫ eˢˣ F(s) ds along a parabola that opens to the left, by the trapezoidal rule; the error falls like
 * 10^(−0.9·points) when all singularities of F lie on the negative real axis or at 0. With 32 nodes in the upper
 * half plane it is near 1e-12, where rounding takes over.
 *
 * @param logTransform ln F(s), for s off the negative real axis
 * @param x above 0
 * @throws RangeError when x is not above 0
 * @see Weideman JAC, Trefethen LN. Math Comp 2007;76:1341-1356, section 3 (parabola, equation 3.6).
 * @example
 * // F(s) = 1/s, so f = 1
 * laplaceInversion((a, b, out) => { out[0] = -Math.log(Math.hypot(a, b)); out[1] = -Math.atan2(b, a); }, 3)
 */
export function laplaceInversion(logTransform: ComplexLogarithm, x: number): number {
  if (!(x > 0 && x < Number.POSITIVE_INFINITY)) throw new RangeError(`x must be above 0, received ${x}`);
  const out = new Float64Array(2);
  // s = μ(iθ + 1)², θ = (j + ½)h; only the upper half is summed, the lower one is its mirror image.
  const step = 3 / points;
  const scale = (Math.PI * points) / (12 * x);
  let sum = 0;
  for (let j = 0; j < points; j++) {
    const theta = (j + 0.5) * step;
    const real = scale * (1 - theta * theta);
    const imaginary = scale * 2 * theta;
    logTransform(real, imaginary, out);
    // ds/dθ = 2iμ(iθ+1) = 2μ(−θ + i); the factor 1/(2πi) turns it into (1 + iθ)μ/π.
    const magnitude = Math.exp(real * x + out[0]!);
    const angle = imaginary * x + out[1]!;
    sum += magnitude * (Math.cos(angle) - theta * Math.sin(angle));
  }
  return (sum * 2 * scale * step) / Math.PI;
}
