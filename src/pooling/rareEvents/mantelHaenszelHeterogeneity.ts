import { chiSquareUpperTail } from '../../numerics/distributions.ts';
import type { TwoArmHeterogeneity } from './twoArmPool.ts';

/**
 * How far do the studies' own effects scatter around the Mantel-Haenszel one?
 *
 * `Q = Σ (yᵢ − ŷ)² / vᵢ` over the studies whose own effect and variance exist, with ŷ the Mantel-Haenszel
 * value on the same scale and one degree of freedom less than studies.
 *
 * Source: Deeks JJ, Altman DG, Bradburn MJ, in: Egger M et al. (eds), Systematic Reviews in Health Care,
 * 2nd ed. 2001, chapter 15.
 */
export function mantelHaenszelHeterogeneity(
  own: readonly { readonly value: number; readonly variance: number }[],
  pooled: number,
): TwoArmHeterogeneity | undefined {
  const usable = own.filter(({ value, variance }) => Number.isFinite(value) && variance > 0);
  if (usable.length < 2) return undefined;
  let q = 0;
  for (const { value, variance } of usable) q += (value - pooled) ** 2 / variance;
  const degreesOfFreedom = usable.length - 1;
  return {
    q,
    degreesOfFreedom,
    pValue: chiSquareUpperTail(q, degreesOfFreedom),
    basis: `inverse-variance sum of squares around the Mantel-Haenszel value, ${usable.length} studies with an effect of their own`,
  };
}
