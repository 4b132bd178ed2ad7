import { normalQuantile } from '../../numerics/distributions.ts';
import { normalOrderStatistic } from './normalOrderStatistic.ts';
import { requireOneOf, requireSampleSize } from './scoreInputs.ts';

/** How a divisor is worked out: the expectation itself, or the papers' closed-form approximation of it. */
export const spreadDivisorForms = ['integral', 'closed-form'] as const;
export type SpreadDivisorForm = (typeof spreadDivisorForms)[number];

/**
 * By what must the range of n normal values be divided to give their standard deviation?
 *
 * `integral`: ξ(n) = 2 E(Z₍ₙ₎), the expected range of n standard normal values.
 * `closed-form`: 2 Φ⁻¹((n - 0.375)/(n + 0.25)).
 *
 * Source: Wan X, Wang W, Liu J, Tong T, BMC Med Res Methodol 2014;14:135, Table 1 and equation 9. That
 * table prints 3.259 for n = 12, where the integral is 3.25846.
 * @example
 * rangeDivisor(25) // 3.931
 */
export function rangeDivisor(sampleSize: number, form: SpreadDivisorForm = 'integral'): number {
  requireSampleSize('sampleSize', sampleSize);
  requireOneOf('form', form, spreadDivisorForms);
  if (form === 'integral') return 2 * normalOrderStatistic(sampleSize, sampleSize);
  return 2 * normalQuantile((sampleSize - 0.375) / (sampleSize + 0.25));
}

/**
 * By what must the distance between the quartiles of n normal values be divided to give their standard deviation?
 *
 * `integral`: η(n) = 2 E(upper quartile) of n standard normal values. For n = 4Q + 1 the quartile is the
 * (3Q + 1)-th value, as in the paper; for other n the two values around rank (3n + 1)/4 are weighted
 * by distance, which is how most software makes quartiles and agrees with the paper at its own n.
 * `closed-form`: 2 Φ⁻¹((0.75 n - 0.125)/(n + 0.25)).
 *
 * Source: Wan X, Wang W, Liu J, Tong T, BMC Med Res Methodol 2014;14:135, Table 2 and equation 16.
 * @example
 * quartileDivisor(41) // 1.303
 */
export function quartileDivisor(sampleSize: number, form: SpreadDivisorForm = 'integral'): number {
  requireSampleSize('sampleSize', sampleSize);
  requireOneOf('form', form, spreadDivisorForms);
  if (form === 'closed-form') return 2 * normalQuantile((0.75 * sampleSize - 0.125) / (sampleSize + 0.25));
  const rank = (3 * sampleSize + 1) / 4;
  const below = Math.floor(rank);
  const share = rank - below;
  const lower = normalOrderStatistic(below, sampleSize);
  return 2 * (share === 0 ? lower : lower + share * (normalOrderStatistic(below + 1, sampleSize) - lower));
}
