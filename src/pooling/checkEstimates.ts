import type { AnalysisScale } from '../effects/analysisScale.ts';
import type { Estimate } from '../effects/estimate.ts';
import { show } from './optionChecks.ts';

/** Values beyond this, or variances beyond it or below its inverse, would overflow when squared and summed. */
const largest = 1e50;
const smallest = 1e-50;

/**
 * Throws unless every estimate can be pooled with the others.
 *
 * @throws RangeError naming the study, the bound and the value received
 */
export function checkEstimates(
  estimates: readonly Estimate[],
  wanted: AnalysisScale | undefined,
): AnalysisScale {
  const scale = wanted ?? estimates[0]?.scale ?? 'plain';
  for (const estimate of estimates) {
    const { value, variance } = estimate;
    if (!(typeof value === 'number' && Math.abs(value) <= largest)) {
      throw new RangeError(
        `value of ${estimate.label} must be a number between -${largest} and ${largest}, received ${show(value)}`,
      );
    }
    if (!(typeof variance === 'number' && variance >= smallest && variance <= largest)) {
      throw new RangeError(
        `variance of ${estimate.label} must be a number above 0 (${smallest} to ${largest}), received ${show(variance)}`,
      );
    }
    if (estimate.scale !== scale) {
      throw new RangeError(
        `estimates of one pool must share a scale: expected ${scale}, received ${estimate.scale} for ${estimate.label}`,
      );
    }
  }
  return scale;
}
