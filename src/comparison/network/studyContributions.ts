import type { NetworkPart } from './networkResult.ts';
import { varianceOfDifference } from './solveNetwork.ts';

/** How much each study carries of one network estimate. */
export interface ComparisonContributions {
  readonly treatment: string;
  readonly comparator: string;
  /** In the order of the part's studies; they sum to 1. */
  readonly shares: readonly number[];
}

/**
 * Which studies is each network estimate made of?
 *
 * The estimate is a weighted sum of the studies' contrasts; its weights are the rows of the hat matrix
 * `(XᵀV⁻¹X)⁻¹XᵀV⁻¹`. Studies are independent, so the variance of the estimate falls apart into one piece for each:
 * `share_i = cᵀ M⁻¹ M_i M⁻¹ c / cᵀ M⁻¹ c` with M the information of all studies and M_i that of study i. For two
 * treatments these are the usual weights.
 *
 * @see Riley RD, Ensor J, Jackson D, Burke DL. Stat Methods Med Res 2018;27:2885-2905. Jackson D, White IR, Price M,
 *   Copas J, Riley RD. Stat Methods Med Res 2017;26:2853-2868 (study weights in networks).
 * @example
 * studyContributions(network.parts[0]!)[0]?.shares
 */
export function studyContributions(part: NetworkPart): readonly ComparisonContributions[] {
  const { system, solution } = part;
  const { covariance, weights } = solution;
  const count = system.treatments.length;
  const places = new Map(system.treatments.map((treatment, place) => [treatment, place]));
  return part.comparisons.map(({ treatment, comparator }) => {
    const one = places.get(treatment)!;
    const other = places.get(comparator)!;
    const variance = varianceOfDifference(covariance, count, one, other);
    // M⁻¹ c at a treatment.
    const at = (place: number): number =>
      covariance[place * count + one]! - covariance[place * count + other]!;
    const shares = system.studies.map(({ arms, size }, s) => {
      const base = at(arms[0]!);
      let sum = 0;
      for (let i = 0; i < size; i++)
        for (let j = 0; j < size; j++)
          sum += (at(arms[i + 1]!) - base) * weights[s]![i * size + j]! * (at(arms[j + 1]!) - base);
      return sum / variance;
    });
    return { treatment, comparator, shares };
  });
}
