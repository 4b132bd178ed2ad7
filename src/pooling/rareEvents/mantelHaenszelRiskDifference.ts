import { mantelHaenszelHeterogeneity } from './mantelHaenszelHeterogeneity.ts';
import type { RiskDifferenceVariance } from './twoArmOptions.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import { wald } from './wald.ts';
import type { AdjustedTable } from './zeroCells.ts';

/**
 * What difference of risks do the studies share, when many are small or have few events?
 *
 * With `a` of `n₁` and `c` of `n₂` events and `N = n₁ + n₂`:
 * `δ = Σ(a n₂ − c n₁)/N / W`, `W = Σ n₁n₂/N`. Tables without events count: they pull towards no difference.
 * Two variances:
 * - `greenland-robins`: `Σ[(a b n₂³ + c d n₁³)/(n₁n₂N²)] / W²`, for few large studies;
 * - `sato`: `(δ ΣP + ΣQ)/W²` with `P = (n₁²c − n₂²a + n₁n₂(n₂−n₁)/2)/N²` and
 *   `Q = (a(n₂−c) + c(n₁−a))/(2N)`, for many sparse and for few large studies: under a common difference
 *   `δP + Q` has, study by study, the variance of `(a n₂ − c n₁)/N` as its expectation.
 *
 * Sources: Greenland S, Robins JM, Biometrics 1985;41:55-68; Sato T, Biometrics 1989;45:1323-1324.
 *
 * @example
 * mantelHaenszelRiskDifference(applyZeroCells(tables, 'none'), 0.95, 'sato').value; // difference of risks
 */
export function mantelHaenszelRiskDifference(
  tables: readonly AdjustedTable[],
  level: number,
  variance: RiskDifferenceVariance,
): TwoArmOutcome {
  let difference = 0;
  let weight = 0;
  let greenlandRobins = 0;
  let p = 0;
  let q = 0;
  for (const { treatedEvents: a, treatedWithout: b, comparatorEvents: c, comparatorWithout: d } of tables) {
    const n1 = a + b;
    const n2 = c + d;
    const total = n1 + n2;
    difference += (a * n2 - c * n1) / total;
    weight += (n1 * n2) / total;
    greenlandRobins += (a * b * n2 ** 3 + c * d * n1 ** 3) / (n1 * n2 * total * total);
    p += (n1 * n1 * c - n2 * n2 * a + (n1 * n2 * (n2 - n1)) / 2) / (total * total);
    q += (a * d + c * b) / (2 * total);
  }
  const value = difference / weight;
  const squared = (variance === 'sato' ? value * p + q : greenlandRobins) / (weight * weight);
  if (!(squared > 0)) {
    return {
      status: 'no-finite-estimate',
      reason: 'the counts leave the difference without a sampling variance',
    };
  }
  const standardError = Math.sqrt(squared);
  const own = tables.map(
    ({ treatedEvents: a, treatedWithout: b, comparatorEvents: c, comparatorWithout: d }) => ({
      value: a / (a + b) - c / (c + d),
      variance: (a * b) / (a + b) ** 3 + (c * d) / (c + d) ** 3,
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
