import type { Count } from '../../effects/estimate.ts';
import { fisherExact } from './exactTwoArms.ts';

/** How much two arms of unequal size can show. */
export interface ArmBalance {
  /** Shoulders in the larger arm for each in the smaller. */
  readonly ratio: number;
  /** Two arms of this size would compare as precisely: the harmonic mean of both. */
  readonly asGoodAsEach: number;
  /** Share of shoulders that add nothing an even split of fewer would not give, 0 to 1. */
  readonly wasted: number;
  /** Whether even no event in the smaller arm would differ from the larger arm's rate by Fisher's exact test. */
  readonly noEventWouldShow: boolean;
  /** Too lopsided for the comparison: more than four to one, or no event in the smaller arm would prove nothing. */
  readonly lopsided: boolean;
}

/** Beyond this many shoulders to one, more in the larger arm add next to nothing (common practice, no source). */
export const lopsidedRatio = 4;

/**
 * Are the arms too lopsided for the comparison made of them?
 *
 * The variance of a difference grows with `1/n₁ + 1/n₂`, so that two arms are worth two of their harmonic mean.
 *
 * @example
 * armBalance({ events: 0, total: 12 }, { events: 44, total: 1083 }, 0.95).lopsided // true
 */
export function armBalance(one: Count, other: Count, level: number): ArmBalance {
  const [smaller, larger] = one.total <= other.total ? [one, other] : [other, one];
  const ratio = larger.total / smaller.total;
  const asGoodAsEach = (2 * smaller.total * larger.total) / (smaller.total + larger.total);
  const noEventWouldShow = fisherExact({ events: 0, total: smaller.total }, larger) < 1 - level;
  return {
    ratio,
    asGoodAsEach,
    wasted: 1 - (2 * asGoodAsEach) / (smaller.total + larger.total),
    noEventWouldShow,
    lopsided: ratio > lopsidedRatio || !noEventWouldShow,
  };
}
