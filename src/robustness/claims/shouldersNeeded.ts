import { largestTotal } from '../../effects/checkCount.ts';
import { betaCumulative } from '../../numerics/distributions.ts';
import { checkLevel } from '../../pooling/optionChecks.ts';
import { shouldersToRuleOut } from '../../pooling/rareEvents/exactLimits.ts';

export interface ShouldersNeededOptions {
  /** Coverage of the two-sided exact interval whose upper limit must reach the limit. Default 0.95. */
  readonly level?: number;
  /** `true` uses the one-sided limit at that level, as the rule of three does. Default false. */
  readonly oneSided?: boolean;
}

/**
 * How many shoulders, with no more than these events, before a rate above the limit is ruled out?
 *
 * The smallest n with `P(X ≤ events; n, limit) ≤ (1 − level) / 2` (`1 − level` one-sided): the exact upper limit is then
 * at or below the limit. Without an event it is `ln tail / ln(1 − limit)`, rounded up.
 *
 * @param limit a rate from 0.000001 to below 1
 * @throws RangeError for a limit or a count out of bounds
 *
 * Source: Clopper CJ, Pearson ES, Biometrika 1934;26:404-413; Hanley JA, Lippman-Hand A, JAMA 1983;249:1743-1745.
 *
 * @example
 * shouldersNeeded(0, 0.05) // 72
 * shouldersNeeded(0, 0.05, { oneSided: true }) // 59
 */
export function shouldersNeeded(events: number, limit: number, options: ShouldersNeededOptions = {}): number {
  const level = checkLevel(options.level ?? 0.95);
  if (!(Number.isInteger(events) && events >= 0 && events < largestTotal))
    throw new RangeError(
      `events must be a whole number of at least 0 and below ${largestTotal}, received ${events}`,
    );
  if (!(typeof limit === 'number' && limit >= 1e-6 && limit < 1))
    throw new RangeError(`limit must be from 0.000001 to below 1, received ${limit}`);
  const tail = options.oneSided === true ? 1 - level : (1 - level) / 2;
  if (events === 0) return shouldersToRuleOut(limit, { level, sides: options.oneSided === true ? 1 : 2 });
  const ruledOut = (total: number): boolean =>
    total > events && betaCumulative(1 - limit, total - events, events + 1) <= tail;
  let enough = events + 1;
  while (!ruledOut(enough)) {
    if (enough === largestTotal)
      throw new RangeError(
        `events must be few enough to stay below the limit ${limit} among ${largestTotal} shoulders, received ${events}`,
      );
    enough = Math.min(largestTotal, 2 * enough);
  }
  let short = Math.floor(enough / 2);
  while (enough - short > 1) {
    const middle = Math.floor((short + enough) / 2);
    if (ruledOut(middle)) enough = middle;
    else short = middle;
  }
  return enough;
}
