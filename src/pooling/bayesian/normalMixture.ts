import { normalCumulative } from '../../numerics/distributions.ts';
import { findIncreasingRoot } from '../../numerics/rootFinding.ts';
import { type TabulatedDensity, tabulateDensity } from './tabulatedDensity.ts';

/** A weighted mixture of normal distributions; the weights sum to 1. */
export interface NormalMixture {
  readonly weights: Float64Array;
  readonly means: Float64Array;
  readonly deviations: Float64Array;
}

const inverseRootTwoPi = 1 / Math.sqrt(2 * Math.PI);

/** Density of the mixture at `x`. */
export function mixtureDensity(mixture: NormalMixture, x: number): number {
  const { weights, means, deviations } = mixture;
  let sum = 0;
  for (let index = 0; index < weights.length; index++) {
    const deviation = deviations[index]!;
    const z = (x - means[index]!) / deviation;
    const half = 0.5 * z * z;
    if (half < 44) sum += (weights[index]! / deviation) * Math.exp(-half);
  }
  return sum * inverseRootTwoPi;
}

/** Probability the mixture places at or below `x`. */
export function mixtureCumulative(mixture: NormalMixture, x: number): number {
  const { weights, means, deviations } = mixture;
  let sum = 0;
  for (let index = 0; index < weights.length; index++) {
    const z = (x - means[index]!) / deviations[index]!;
    if (z > 8.5) sum += weights[index]!;
    else if (z > -8.5) sum += weights[index]! * normalCumulative(z);
  }
  return sum;
}

/** The value that a share `probability` of the mixture lies below, by solving its cumulative distribution. */
export function mixtureQuantile(mixture: NormalMixture, probability: number, start: number): number {
  const { weights, means, deviations } = mixture;
  const { lower, upper } = mixtureRange(mixture);
  return findIncreasingRoot(
    (x, out) => {
      let below = 0;
      let density = 0;
      for (let index = 0; index < weights.length; index++) {
        const deviation = deviations[index]!;
        const z = (x - means[index]!) / deviation;
        const weight = weights[index]!;
        if (z > 8.5) below += weight;
        else if (z > -8.5) {
          below += weight * normalCumulative(z);
          density += (weight / deviation) * Math.exp(-0.5 * z * z);
        }
      }
      const distance = below - probability;
      // The quadrature behind the weights is not good to more than this.
      out[0] = Math.abs(distance) < 1e-12 ? 0 : distance;
      out[1] = density * inverseRootTwoPi;
    },
    lower,
    upper,
    start,
  ).root;
}

/** From 8.5 standard deviations below the lowest to as many above the highest component that counts. */
function mixtureRange(mixture: NormalMixture): { lower: number; upper: number } {
  let lower = Number.POSITIVE_INFINITY;
  let upper = Number.NEGATIVE_INFINITY;
  for (let index = 0; index < mixture.weights.length; index++) {
    if (mixture.weights[index]! < 1e-15) continue;
    const reach = 8.5 * mixture.deviations[index]!;
    lower = Math.min(lower, mixture.means[index]! - reach);
    upper = Math.max(upper, mixture.means[index]! + reach);
  }
  return { lower, upper };
}

/** Mean and standard deviation: the mean of the means; the mean variance plus the variance of the means. */
export function mixtureMoments(
  mixture: NormalMixture,
  weights: ArrayLike<number> = mixture.weights,
): { readonly mean: number; readonly deviation: number } {
  let mean = 0;
  for (let index = 0; index < weights.length; index++) mean += weights[index]! * mixture.means[index]!;
  let variance = 0;
  for (let index = 0; index < weights.length; index++) {
    const distance = mixture.means[index]! - mean;
    const deviation = mixture.deviations[index]!;
    variance += weights[index]! * (deviation * deviation + distance * distance);
  }
  return { mean, deviation: Math.sqrt(Math.max(0, variance)) };
}

/** The mixture as a table, for its quantiles, probabilities and picture. */
export function tabulateMixture(mixture: NormalMixture, tolerance: number, shift = 0): TabulatedDensity {
  let heaviest = 0;
  let narrowest = Number.POSITIVE_INFINITY;
  for (let index = 0; index < mixture.weights.length; index++) {
    const weight = mixture.weights[index]!;
    if (weight > mixture.weights[heaviest]!) heaviest = index;
    if (weight > 1e-4) narrowest = Math.min(narrowest, mixture.deviations[index]!);
  }
  const centre = mixture.means[heaviest]!;
  const table = tabulateDensity((x) => mixtureDensity(mixture, x), {
    centre,
    scale: 2 * Math.min(mixture.deviations[heaviest]!, 4 * narrowest),
    ...mixtureRange(mixture),
    tolerance,
  });
  return { ...table, centre: centre + shift };
}
