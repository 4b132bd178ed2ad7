import { checkCount } from '../../effects/checkCount.ts';
import type { Count } from '../../effects/estimate.ts';
import { checkLevel } from '../../pooling/optionChecks.ts';
import { fisherExact } from './exactTwoArms.ts';

/** How many shoulders would have to have gone the other way for the test to change its answer. */
export interface Fragility {
  readonly pValue: number;
  /** Whether the arms differ by Fisher's exact test at 1 − level. */
  readonly differs: boolean;
  /** Fewest changed shoulders, in either arm or both, that change the answer; undefined above `searched`. */
  readonly fewest: number | undefined;
  /** Counts after those changes. */
  readonly changed: { readonly one: Count; readonly other: Count } | undefined;
  /**
   * Fragility index as published: events added to the arm with fewer (of as many, the one with the lower rate), one by
   * one, until the difference is gone. Undefined where the arms do not differ, and above `searched`.
   */
  readonly index: number | undefined;
  /** How many changed shoulders were tried at most. */
  readonly searched: number;
}

/**
 * How few shoulders decide whether these two arms differ?
 *
 * A changed shoulder is one whose outcome had been the other. `fewest` looks at every way to change that many, and
 * serves both ways: how few would make a difference vanish, and how few would make one appear. `index` is the published
 * definition, which changes one arm only.
 *
 * Source: Walsh M et al., J Clin Epidemiol 2014;67:622-628 (the index); Khan MS et al., JAMA Netw Open 2020;3:e2012469
 * (the reverse).
 *
 * @example
 * fragility({ events: 4, total: 42 }, { events: 15, total: 45 }).fewest
 */
export function fragility(one: Count, other: Count, options: { readonly level?: number } = {}): Fragility {
  checkCount(one);
  checkCount(other);
  const error = 1 - checkLevel(options.level ?? 0.95);
  const pValue = fisherExact(one, other);
  const differs = pValue < error;
  const most = Math.min(200, one.total + other.total);
  const step = (count: Count, change: number): Count | undefined => {
    const events = count.events + change;
    return events >= 0 && events <= count.total ? { events, total: count.total } : undefined;
  };
  const flips = (a: Count | undefined, b: Count | undefined): boolean =>
    a !== undefined && b !== undefined && fisherExact(a, b) < error !== differs;
  let fewest: number | undefined;
  let changed: Fragility['changed'];
  for (let size = 1; size <= most && fewest === undefined; size++) {
    for (let first = -size; first <= size && fewest === undefined; first++) {
      const second = size - Math.abs(first);
      for (const change of second === 0 ? [0] : [-second, second]) {
        const a = step(one, first);
        const b = step(other, change);
        if (!flips(a, b)) continue;
        fewest = size;
        changed = { one: a!, other: b! };
        break;
      }
    }
  }
  let index: number | undefined;
  if (differs) {
    const firstHasFewer =
      one.events < other.events || (one.events === other.events && one.total > other.total);
    for (let size = 1; size <= most && index === undefined; size++) {
      const a = firstHasFewer ? step(one, size) : one;
      const b = firstHasFewer ? other : step(other, size);
      if (a === undefined || b === undefined) break;
      if (flips(a, b)) index = size;
    }
  }
  return { pValue, differs, fewest, changed, index, searched: most };
}
