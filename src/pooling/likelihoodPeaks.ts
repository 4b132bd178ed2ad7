import { findRoot } from '../numerics/rootFinding.ts';
import type { PooledSample } from './pooledSample.ts';
import { type VarianceLikelihood, varianceLikelihood } from './varianceLikelihood.ts';

const gridPoints = 60;

/**
 * Where does the likelihood of the between-study variance peak, and does it peak more than once?
 *
 * The slope is followed over a geometric grid from far below the smallest sampling variance to four times the
 * squared range of the values, beyond which the restricted and the full likelihood both only fall. Every change of
 * sign from rising to falling is solved to rounding; zero is a peak when the likelihood falls from there.
 *
 * @param heldDistance holds the mean at this distance from the sample's centre
 * @returns all peaks, highest first; at least one.
 */
export function likelihoodPeaks(
  sample: PooledSample,
  restricted: boolean,
  heldDistance?: number,
): readonly VarianceLikelihood[] {
  const { count, distances, variances, mostPrecise } = sample;
  let least = heldDistance ?? distances[0]!;
  let most = least;
  for (let i = 0; i < count; i++) {
    least = Math.min(least, distances[i]!);
    most = Math.max(most, distances[i]!);
  }
  const atZero = varianceLikelihood(sample, 0, restricted, heldDistance);
  const top = 4 * (most - least) ** 2;
  if (!(top > 0)) return [atZero];
  const slopeAt = (variance: number): number =>
    varianceLikelihood(sample, variance, restricted, heldDistance).slope;
  const bottom = Math.min(1e-4 * variances[mostPrecise]!, 1e-6 * top);
  const ratio = (top / bottom) ** (1 / (gridPoints - 1));
  const peaks: VarianceLikelihood[] = [];
  if (atZero.slope <= 0) peaks.push(atZero);
  let lower = 0;
  let lowerSlope = atZero.slope;
  for (let step = 0; step < gridPoints; step++) {
    const upper = bottom * ratio ** step;
    const upperSlope = slopeAt(upper);
    if (lowerSlope > 0 && upperSlope <= 0) {
      const { root } = findRoot(slopeAt, lower, upper);
      peaks.push(varianceLikelihood(sample, root, restricted, heldDistance));
    }
    lower = upper;
    lowerSlope = upperSlope;
  }
  if (peaks.length === 0) peaks.push(varianceLikelihood(sample, lower, restricted, heldDistance));
  return peaks.sort((a, b) => b.logLikelihood - a.logLikelihood);
}
