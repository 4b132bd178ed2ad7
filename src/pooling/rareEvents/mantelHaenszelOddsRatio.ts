import { mantelHaenszelHeterogeneity } from './mantelHaenszelHeterogeneity.ts';
import type { TwoArmOutcome } from './twoArmPool.ts';
import { wald } from './wald.ts';
import type { AdjustedTable } from './zeroCells.ts';

/**
 * What odds ratio do the studies share, when many are small or have few events?
 *
 * With `a, b` events and no events in the treated arm, `c, d` in the comparator arm and `N` the total:
 * `OR = Σ(ad/N) / Σ(bc/N)`. With `P = (a+d)/N`, `Q = (b+c)/N`, `R = ad/N`, `S = bc/N` the variance of its
 * logarithm is `ΣPR/(2(ΣR)²) + Σ(PS+QR)/(2 ΣR ΣS) + ΣQS/(2(ΣS)²)`: valid for many sparse and for few large
 * studies. Tables without events, or with events only, contribute nothing.
 *
 * Sources: Mantel N, Haenszel W, J Natl Cancer Inst 1959;22:719-748; Robins J, Breslow N, Greenland S,
 * Biometrics 1986;42:311-323.
 *
 * @example
 * mantelHaenszelOddsRatio(applyZeroCells(tables, 'none'), 0.95).value; // log odds ratio
 */
export function mantelHaenszelOddsRatio(tables: readonly AdjustedTable[], level: number): TwoArmOutcome {
  let r = 0;
  let s = 0;
  let pr = 0;
  let cross = 0;
  let qs = 0;
  for (const { treatedEvents: a, treatedWithout: b, comparatorEvents: c, comparatorWithout: d } of tables) {
    const total = a + b + c + d;
    const p = (a + d) / total;
    const q = (b + c) / total;
    const ri = (a * d) / total;
    const si = (b * c) / total;
    r += ri;
    s += si;
    pr += p * ri;
    cross += p * si + q * ri;
    qs += q * si;
  }
  if (r === 0 || s === 0) return withoutRatio(r === 0, s === 0, 'odds ratio');
  const value = Math.log(r / s);
  const standardError = Math.sqrt(pr / (2 * r * r) + cross / (2 * r * s) + qs / (2 * s * s));
  const own = tables.map(
    ({ treatedEvents: a, treatedWithout: b, comparatorEvents: c, comparatorWithout: d }) => ({
      value: Math.log((a * d) / (b * c)),
      variance: 1 / a + 1 / b + 1 / c + 1 / d,
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

/** The outcome where one of the two sums behind a ratio is zero. */
export function withoutRatio(numerator: boolean, denominator: boolean, measure: string): TwoArmOutcome {
  const reason =
    numerator && denominator
      ? `no study tells anything about the ${measure}`
      : `the ${measure} would be ${numerator ? 'zero' : 'without limit'}: ${numerator ? 'the sum above' : 'the sum below'} the line has nothing in it`;
  return { status: 'no-finite-estimate', reason };
}
