import type { Estimate } from '../../effects/estimate.ts';
import { directContrasts, poolDirect } from './directEvidence.ts';
import type { NetworkPart } from './networkResult.ts';

/** A study's contrast less the mean of its comparison. */
export interface AdjustedContrast extends Estimate {
  readonly treatment: string;
  readonly comparator: string;
}

/**
 * Do small studies lean the same way across all comparisons?
 *
 * Each study's contrast less the common-effect mean of all studies of that comparison, so that different comparisons can
 * share one funnel. It leans only if "first less second" means the same kind of thing in every comparison; the treatments'
 * order decides the direction, so give them in an order with a meaning. A comparison with one study lies on the centre by
 * construction and is left out.
 *
 * @see Chaimani A, Higgins JPT, Mavridis D, Spyridonos P, Salanti G. PLoS One 2013;8:e76654.
 * @example
 * comparisonAdjusted(network.parts[0]!).length
 */
export function comparisonAdjusted(part: NetworkPart): readonly AdjustedContrast[] {
  const { treatments } = part;
  const adjusted: AdjustedContrast[] = [];
  for (let i = 0; i < treatments.length; i++)
    for (let j = i + 1; j < treatments.length; j++) {
      const own = directContrasts(part.system, i, j, 0);
      const mean = poolDirect(own);
      if (mean === undefined || own.length < 2) continue;
      for (const { study, value, variance } of own) {
        const { study: id, label, scale, rows, addedToEachCell } = part.studies[study]!;
        adjusted.push({
          study: id,
          label,
          value: value - mean.value,
          variance,
          scale,
          rows,
          addedToEachCell,
          treatment: treatments[i]!,
          comparator: treatments[j]!,
        });
      }
    }
  return adjusted;
}
