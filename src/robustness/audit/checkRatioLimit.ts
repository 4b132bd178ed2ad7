import type { Count } from '../../effects/estimate.ts';
import { isEstimate } from '../../effects/isEstimate.ts';
import { oddsRatio, riskRatio } from '../../effects/twoRates.ts';
import type { PrintedStatistic } from '../../extraction/printedStatistic.ts';
import { normalQuantile } from '../../numerics/distributions.ts';
import { type ArithmeticCheck, likePrinted, printsAs } from './arithmeticCheck.ts';

/** Share of the distance from estimate to limit by which methods may differ; a choice of ours. */
const roomForMethods = 0.25;
/** Cells below which exact and approximate limits are far apart. */
const smallestCell = 5;

/**
 * Does a limit of a 95 per cent interval fit the ratio of the counts?
 *
 * exp(ln ratio ± 1.96 SE) of the counts within the rounding, or the same ratio the other way round. Exact and profile limits
 * differ from it, so that a limit is asked about only where every cell holds 5 and it lies more than a quarter of the
 * distance from estimate to limit away.
 *
 * @example
 * checkRatioLimit('odds ratio', 'upper', printed, { events: 15, total: 45 }, { events: 4, total: 42 })
 */
export function checkRatioLimit(
  measure: 'odds ratio' | 'risk ratio',
  side: 'lower' | 'upper',
  printed: PrintedStatistic,
  one: Count,
  other: Count,
): ArithmeticCheck {
  const ratio = measure === 'odds ratio' ? oddsRatio : riskRatio;
  const estimate = ratio({ study: 'audit', label: 'audit', treated: one, comparator: other });
  if (!isEstimate(estimate))
    return { verdict: 'cannot be checked', reason: `A zero leaves the ${measure} without an interval.` };
  const reach = normalQuantile(0.975) * Math.sqrt(estimate.variance);
  const limit = Math.exp(estimate.value + (side === 'lower' ? -reach : reach));
  if (printsAs(printed, limit)) return { verdict: 'fits', by: 'the interval of the counts' };
  const wouldFit: string[] = [];
  const inverted = Math.exp(-estimate.value + (side === 'lower' ? -reach : reach));
  if (printsAs(printed, inverted)) wouldFit.push('It fits with the other arm on top.');
  const cells = [one.events, one.total - one.events, other.events, other.total - other.events];
  if (wouldFit.length === 0 && Math.min(...cells) < smallestCell)
    return {
      verdict: 'cannot be checked',
      reason: 'With cells below 5 exact and approximate limits differ.',
    };
  const away = printed.value > 0 ? Math.abs(Math.log(printed.value / limit)) : Number.POSITIVE_INFINITY;
  if (wouldFit.length === 0 && away <= roomForMethods * reach)
    return {
      verdict: 'cannot be checked',
      reason: 'It lies near the approximate limit; another method can give it.',
    };
  return {
    verdict: 'does not fit',
    kind: 'interval',
    strength: 'question',
    counts: `${one.events} of ${one.total} against ${other.events} of ${other.total} gives ${side === 'upper' ? 'an upper' : 'a lower'} 95 per cent limit of ${likePrinted(printed, limit)}.`,
    wouldFit,
  };
}
