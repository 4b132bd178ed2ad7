import { mantelHaenszelHeterogeneity } from './mantelHaenszelHeterogeneity.ts';
import { withoutRatio } from './mantelHaenszelOddsRatio.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import { wald } from './wald.ts';
import type { AdjustedTable } from './zeroCells.ts';

/**
 * What risk ratio do the studies share, when many are small or have few events?
 *
 * With `a` of `n₁` and `c` of `n₂` events and `N = n₁ + n₂`: `RR = Σ(a n₂/N) / Σ(c n₁/N)`; the variance of
 * its logarithm is `Σ[(n₁n₂(a+c) − acN)/N²] / (Σ(a n₂/N) Σ(c n₁/N))`, valid for many sparse and for few
 * large studies. Tables without events contribute nothing.
 *
 * Source: Greenland S, Robins JM, Biometrics 1985;41:55-68.
 *
 * @example
 * mantelHaenszelRiskRatio(applyZeroCells(tables, 'none'), 0.95).value; // log risk ratio
 */
export function mantelHaenszelRiskRatio(tables: readonly AdjustedTable[], level: number): TwoArmOutcome {
  let above = 0;
  let below = 0;
  let scatter = 0;
  for (const { treatedEvents: a, treatedWithout, comparatorEvents: c, comparatorWithout } of tables) {
    const n1 = a + treatedWithout;
    const n2 = c + comparatorWithout;
    const total = n1 + n2;
    above += (a * n2) / total;
    below += (c * n1) / total;
    // n₁n₂(a+c) − acN = a n₁ (n₂−c) + c n₂ (n₁−a): products that cannot cancel.
    scatter += (a * n1 * comparatorWithout + c * n2 * treatedWithout) / (total * total);
  }
  if (above === 0 || below === 0) return withoutRatio(above === 0, below === 0, 'risk ratio');
  if (scatter === 0) {
    return {
      status: 'no-finite-estimate',
      reason: 'the counts leave the risk ratio without a sampling variance',
    };
  }
  const value = Math.log(above / below);
  const standardError = Math.sqrt(scatter / (above * below));
  const own = tables.map(
    ({ treatedEvents: a, treatedWithout: b, comparatorEvents: c, comparatorWithout: d }) => ({
      value: Math.log(a / (a + b)) - Math.log(c / (c + d)),
      variance: b / (a * (a + b)) + d / (c * (c + d)),
    }),
  );
  return {
    status: 'estimated',
    value,
    standardError,
    ...wald(value, standardError, level),
    heterogeneity: mantelHaenszelHeterogeneity(own, value),
  };
}
