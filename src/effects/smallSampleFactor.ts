import { logGamma } from '../numerics/distributions.ts';

/**
 * By what must a standardised mean difference be multiplied to be unbiased in small samples?
 *
 * J(ν) = Γ(ν/2) / (√(ν/2) Γ((ν−1)/2)), exactly; the usual 1 − 3/(4ν−1) is its approximation.
 *
 * @param degreesOfFreedom above 1
 * @throws RangeError at or below 1, where the factor does not exist
 * @see Hedges LV. J Educ Stat 1981;6:107-128, equation 6e.
 * @example
 * smallSampleFactor(2) // 0.5642
 */
export function smallSampleFactor(degreesOfFreedom: number): number {
  if (!(degreesOfFreedom > 1 && Number.isFinite(degreesOfFreedom))) {
    throw new RangeError(`degreesOfFreedom must be above 1, received ${degreesOfFreedom}`);
  }
  // Two large logarithms cancel as the degrees of freedom grow; the asymptotic series takes over where it is exact.
  if (degreesOfFreedom > 400) {
    const x = 1 / degreesOfFreedom;
    return 1 - x * (3 / 4 + x * (7 / 32 + x * (9 / 128 - (x * 59) / 2048)));
  }
  return (
    Math.exp(logGamma(degreesOfFreedom / 2) - logGamma((degreesOfFreedom - 1) / 2)) /
    Math.sqrt(degreesOfFreedom / 2)
  );
}
