import { chiSquareUpperTail } from '../../numerics/distributions.ts';
import { hypergeometricMoments } from './cochranMantelHaenszelTest.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import type { TwoArmTable } from './twoArmTable.ts';
import { wald } from './wald.ts';

/**
 * What odds ratio do the studies share, by one step from no effect?
 *
 * `ln OR = Σ(O − E) / ΣV`, standard error `1/√ΣV`, with the hypergeometric mean and variance of the treated
 * events; heterogeneity `Σ(O−E)²/V − (Σ(O−E))²/ΣV` over the studies with `V > 0`. Reliable for rare events,
 * small effects and arms of similar size; biased otherwise.
 *
 * Sources: Yusuf S, Peto R, Lewis J, Collins R, Sleight P, Prog Cardiovasc Dis 1985;27:335-371; on when it
 * misleads: Greenland S, Salvan A, Stat Med 1990;9:247-252.
 *
 * @example
 * petoOneStep(tables, 0.95).value; // log odds ratio
 */
export function petoOneStep(tables: readonly TwoArmTable[], level: number): TwoArmOutcome {
  let difference = 0;
  let variance = 0;
  let squares = 0;
  let informative = 0;
  for (const table of tables) {
    const moments = hypergeometricMoments(table);
    if (!(moments.variance > 0)) continue;
    const own = table.treated.events - moments.expected;
    difference += own;
    variance += moments.variance;
    squares += own ** 2 / moments.variance;
    informative += 1;
  }
  if (informative === 0) {
    return {
      status: 'no-finite-estimate',
      reason: 'no study has both shoulders with and without an event',
    };
  }
  const value = difference / variance;
  const standardError = 1 / Math.sqrt(variance);
  const q = Math.max(0, squares - difference ** 2 / variance);
  return {
    status: 'estimated',
    value,
    standardError,
    ...wald(value, standardError, level),
    heterogeneity:
      informative < 2
        ? undefined
        : {
            q,
            degreesOfFreedom: informative - 1,
            pValue: chiSquareUpperTail(q, informative - 1),
            basis: `sum of squares of observed less expected around the pooled value, ${informative} studies with events`,
          },
  };
}
