import type { Estimate, LeftOut } from './estimate.ts';
import { estimateRate, type RateEstimateOptions, type RateInput } from './estimateRate.ts';
import { isEstimate } from './isEstimate.ts';

/**
 * What do these arms say about the rate, and which of them say nothing on this scale?
 *
 * {@link estimateRate} for every arm, in order.
 *
 * @example
 * estimateRates(selection.arms, { scale: 'logit', zeroEvents: { addToEachCell: 0.5 } }).leftOut
 */
export function estimateRates(
  arms: readonly RateInput[],
  options: RateEstimateOptions = {},
): { readonly estimates: readonly Estimate[]; readonly leftOut: readonly LeftOut[] } {
  const estimates: Estimate[] = [];
  const leftOut: LeftOut[] = [];
  for (const arm of arms) {
    const result = estimateRate(arm, options);
    if (isEstimate(result)) estimates.push(result);
    else leftOut.push(result);
  }
  return { estimates, leftOut };
}
