import { type RateScale, rateScales } from './analysisScale.ts';
import { doubleArcsine } from './rateToScale.ts';

export interface BackTransformOptions {
  /**
   * Sample size at which the double arcsine is turned back; the answer depends on it, so it must be stated. The
   * harmonic mean of the pooled arms is usual (Miller 1978) and can mislead badly (Schwarzer et al. 2019).
   */
  readonly total?: number;
}

/**
 * Which rate does a value on an analysis scale stand for?
 *
 * The exact inverse of {@link rateToScale}'s value, and always a rate: a value beyond the ends of the scale (an
 * interval's limit on the raw or arcsine scale, a log rate above 0) gives 0 or 1, so that a larger value never gives
 * a smaller rate. The double arcsine is inverted in closed form (Miller 1978), at the stated total.
 *
 * @throws RangeError for a value that is not finite, an unknown scale, or a double arcsine without `total`
 * @see Miller JJ. Am Stat 1978;32:138. Schwarzer G et al. Res Synth Methods 2019;10:476-483.
 * @example
 * backTransformRate(-2.944, 'logit') // 0.05
 */
export function backTransformRate(
  value: number,
  scale: RateScale,
  options: BackTransformOptions = {},
): number {
  if (!Number.isFinite(value)) throw new RangeError(`value must be finite, received ${value}`);
  switch (scale) {
    case 'raw':
      return Math.min(1, Math.max(0, value));
    case 'logit':
      // Written so that neither end loses digits or overflows.
      return value < 0 ? Math.exp(value) / (1 + Math.exp(value)) : 1 / (1 + Math.exp(-value));
    case 'log':
      return Math.min(1, Math.exp(value));
    case 'arcsine':
      return value <= 0 ? 0 : value >= Math.PI / 2 ? 1 : Math.sin(value) ** 2;
    case 'double-arcsine':
      return invertDoubleArcsine(value, options.total);
    default:
      throw new RangeError(`scale must be one of ${rateScales.join(', ')}; received ${String(scale)}`);
  }
}

function invertDoubleArcsine(value: number, total: number | undefined): number {
  if (total === undefined || !(total > 0 && Number.isFinite(total))) {
    throw new RangeError(`total must be given and above 0 on the double-arcsine scale, received ${total}`);
  }
  if (value <= doubleArcsine(0, total)) return 0;
  if (value >= doubleArcsine(total, total)) return 1;
  // Miller's formula with t the sum of both arcsines, t = 2·value.
  const sine = Math.sin(2 * value);
  const inner = sine + (sine - 1 / sine) / total;
  const root = Math.sqrt(Math.max(0, 1 - inner * inner));
  const rate = 0.5 * (1 - Math.sign(Math.cos(2 * value)) * root);
  return Math.min(1, Math.max(0, rate));
}
