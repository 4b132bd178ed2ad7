import { kronrodNodes, kronrodWeights, panelPoints } from './gaussKronrod.ts';
import { logitsOf, type RatePosterior } from './ratePosterior.ts';
import { cumulativeAt, densityAt, type TabulatedDensity } from './tabulatedDensity.ts';

/** Posterior probabilities that one pooled rate is above another. */
export interface ProbabilityRateExceeds {
  readonly kind: 'probability-rate-exceeds';
  /** Probability that the median hospital's rate in the first pool is above that in the second. */
  readonly medianHospital: number;
  /** Probability that the next hospital of the first pool has a higher true rate than the next of the second. */
  readonly nextHospital: number;
  /** What the comparison is, and what it is not. */
  readonly label: string;
}

/**
 * How probable is it that the rate in one single-arm pool is above that in another?
 *
 * P(A > B) = ∫ f_A(x) F_B(x) dx with the two posteriors taken as independent, on the logit scale (the order of
 * rates is the order of logits). It compares two pools estimated apart from each other: the patients were not
 * randomised between them, and nothing in the number corrects for how they differ. The result says so in words,
 * and the words belong beside the number wherever it is shown.
 *
 * @throws RangeError when a posterior is not of rates
 *
 * @example
 * probabilityRateExceeds(tenotomy, subpectoral).medianHospital
 */
export function probabilityRateExceeds(first: RatePosterior, second: RatePosterior): ProbabilityRateExceeds {
  const a = logitsOf(first, 'first');
  const b = logitsOf(second, 'second');
  return {
    kind: 'probability-rate-exceeds',
    medianHospital: probabilityAbove(a.mean.density, b.mean.density),
    nextHospital: probabilityAbove(a.prediction.density, b.prediction.density),
    label:
      'Posterior probability that the first pool has the higher rate. The two pools are single arms estimated separately, not randomised groups: patients, surgeons and follow-up differ between them, and the probability does not allow for that.',
  };
}

/** Probability that a value of the first density is above an independent one of the second. */
export function probabilityAbove(first: TabulatedDensity, second: TabulatedDensity): number {
  // Cut at the panels of both, so that the narrower of the two is never stepped over.
  const start = first.edges[0]!;
  const end = first.edges.at(-1)!;
  const cuts = [...first.edges];
  for (const edge of second.edges) {
    const x = second.centre + second.scale * Math.sinh(edge);
    const t = Math.asinh((x - first.centre) / first.scale);
    if (t > start && t < end) cuts.push(t);
  }
  cuts.sort((left, right) => left - right);
  let sum = 0;
  for (let index = 0; index + 1 < cuts.length; index++) {
    const half = 0.5 * (cuts[index + 1]! - cuts[index]!);
    const middle = 0.5 * (cuts[index + 1]! + cuts[index]!);
    for (let point = 0; point < panelPoints; point++) {
      const t = middle + half * kronrodNodes[point]!;
      const x = first.centre + first.scale * Math.sinh(t);
      const density = densityAt(first, x) * first.scale * Math.cosh(t);
      sum += half * kronrodWeights[point]! * density * cumulativeAt(second, x);
    }
  }
  return Math.min(1, Math.max(0, sum));
}
