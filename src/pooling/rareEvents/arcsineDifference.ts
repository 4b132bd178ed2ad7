import type { Estimate } from '../../effects/estimate.ts';
import { normalUpperTail } from '../../numerics/distributions.ts';
import { poolEstimates } from '../poolEstimates.ts';
import type { ResolvedTwoArmOptions } from './twoArmOptions.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import type { TwoArmTable } from './twoArmTable.ts';

/**
 * How far apart are two risks on the scale that makes their sampling variance known?
 *
 * `arcsin √(x₁/n₁) − arcsin √(x₂/n₂)` with variance `1/(4n₁) + 1/(4n₂)`: finite for every table, with or
 * without events, and free of any correction.
 *
 * Source: Rücker G, Schwarzer G, Carpenter J, Olkin I, Stat Med 2009;28:721-738, section 2.
 *
 * @returns an estimate on the scale `arcsine-difference`, in radians
 *
 * @example
 * arcsineDifferenceOf(table).value;
 */
export function arcsineDifferenceOf({ study, label, treated, comparator, rows }: TwoArmTable): Estimate {
  return {
    study,
    label,
    value: angle(treated) - angle(comparator),
    variance: 1 / (4 * treated.total) + 1 / (4 * comparator.total),
    scale: 'arcsine-difference',
    counts: { treated, comparator },
    addedToEachCell: 0,
    rows,
  };
}

const angle = ({ events, total }: { readonly events: number; readonly total: number }): number =>
  Math.asin(Math.sqrt(events / total));

/** The studies' arcsine differences pooled in two steps; there is no way back to a risk. */
export function arcsineDifference(
  tables: readonly TwoArmTable[],
  { level, model, twoStep }: ResolvedTwoArmOptions,
): TwoArmOutcome {
  const pooled = poolEstimates(tables.map(arcsineDifferenceOf), { ...twoStep, level, model });
  if (!pooled.mean) return { status: 'nothing-to-pool', reason: 'there are no studies', twoStep: pooled };
  const { value, standardError, interval } = pooled.mean;
  const variance = pooled.heterogeneity?.betweenStudyVariance;
  return {
    status: 'estimated',
    value,
    standardError,
    interval,
    // The interval's own p-value, where it is the normal one; others do not say theirs.
    pValue:
      pooled.options.interval === 'wald' ? 2 * normalUpperTail(Math.abs(value / standardError)) : undefined,
    betweenStudyDeviation:
      model === 'random-effects' && variance !== undefined ? Math.sqrt(variance) : undefined,
    heterogeneity: pooled.heterogeneity && {
      q: pooled.heterogeneity.q,
      degreesOfFreedom: pooled.heterogeneity.degreesOfFreedom,
      pValue: pooled.heterogeneity.pValue,
      basis: "Cochran's Q around the common-effect mean",
    },
    twoStep: pooled,
    cautions: pooled.cautions,
  };
}
