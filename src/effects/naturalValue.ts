import { type AnalysisScale, analysisScales } from './analysisScale.ts';
import { type BackTransformOptions, backTransformRate } from './backTransformRate.ts';

/**
 * What does a value on an analysis scale mean to a reader?
 *
 * Rates come back as proportions, log ratios as ratios, differences and plain values as they are. A difference of
 * arcsine-transformed risks has no way back: which risks it lies between is lost.
 *
 * @returns undefined for a log ratio too large to be written as a ratio, and for an arcsine difference
 * @throws RangeError for a value that is not finite or an unknown scale
 * @example
 * naturalValue(Math.log(2), 'log-odds-ratio') // 2
 */
export function naturalValue(
  value: number,
  scale: AnalysisScale,
  options: BackTransformOptions = {},
): number | undefined {
  if (!Number.isFinite(value)) throw new RangeError(`value must be finite, received ${value}`);
  switch (scale) {
    case 'raw':
    case 'logit':
    case 'log':
    case 'arcsine':
    case 'double-arcsine':
      return backTransformRate(value, scale, options);
    case 'log-odds-ratio':
    case 'log-risk-ratio':
    case 'log-ratio-of-means':
      return Number.isFinite(Math.exp(value)) ? Math.exp(value) : undefined;
    case 'risk-difference':
    case 'mean-difference':
    case 'standardised-mean-difference':
    case 'plain':
      return value;
    case 'arcsine-difference':
      return undefined;
    default:
      throw new RangeError(`scale must be one of ${analysisScales.join(', ')}; received ${String(scale)}`);
  }
}
