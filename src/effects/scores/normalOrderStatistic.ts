import { normalCumulative, normalQuantile } from '../../numerics/distributions.ts';
import { requireSampleSize } from './scoreInputs.ts';

/** Steps for each approximate standard deviation of the order statistic. */
const stepsPerDeviation = 12;
/** The integrand is followed until it has fallen by exp(-46), 1e-20 of its peak. */
const logFall = 46;

/**
 * Where does the r-th smallest of n standard normal values lie on average?
 *
 * E(Z₍ᵣ₎) = ∫ x Φ(x)^(r-1) (1-Φ(x))^(n-r) φ(x) dx / ∫ Φ(x)^(r-1) (1-Φ(x))^(n-r) φ(x) dx, by the
 * trapezoidal rule, which for a smooth integrand that dies at both ends is exact to rounding. The
 * lower integral replaces the factorials, so that n may be large.
 *
 * @throws RangeError unless 1 <= rank <= sampleSize.
 * Source: David HA, Nagaraja HN, Order Statistics, 3rd edition, 2003, section 3.1.
 * @example
 * normalOrderStatistic(2, 2) // 0.5642, 1/√π
 */
export function normalOrderStatistic(rank: number, sampleSize: number): number {
  requireSampleSize('sampleSize', sampleSize, 1);
  requireSampleSize('rank', rank, 1);
  if (rank > sampleSize)
    throw new RangeError(`rank must be at most sampleSize (${sampleSize}); received ${rank}`);
  // The lower half mirrors the upper: one way of rounding for both, and zero exactly in the middle.
  if (2 * rank === sampleSize + 1) return 0;
  if (2 * rank < sampleSize + 1) return -normalOrderStatistic(sampleSize + 1 - rank, sampleSize);
  const share = (rank - 0.375) / (sampleSize + 0.25);
  const centre = normalQuantile(share);
  const density = Math.exp(-0.5 * centre * centre) / Math.sqrt(2 * Math.PI);
  const step = Math.sqrt((share * (1 - share)) / (sampleSize + 1)) / density / stepsPerDeviation;
  const logIntegrand = (x: number): number => {
    const below = (rank - 1) * logNormalCumulative(x);
    // 0 × log 0 is 0 here.
    const above = rank === sampleSize ? 0 : (sampleSize - rank) * logNormalCumulative(-x);
    return below + above - 0.5 * x * x;
  };
  const peak = logIntegrand(centre);
  let weight = 1;
  let moment = 0;
  for (const side of [-1, 1]) {
    for (let i = 1; ; i += 1) {
      const away = side * i * step;
      const log = logIntegrand(centre + away) - peak;
      // The peak is near the centre, so a fall this deep can only be on the far slope.
      if (!(log > -logFall)) break;
      const height = Math.exp(log);
      weight += height;
      moment += height * away;
    }
  }
  return centre + moment / weight;
}

function logNormalCumulative(x: number): number {
  return x > 0 ? Math.log1p(-normalCumulative(-x)) : Math.log(normalCumulative(x));
}
