import type { Estimate } from '../../effects/estimate.ts';
import { checkEstimates } from '../../pooling/checkEstimates.ts';
import { checkChoice, checkOptionNames } from '../../pooling/optionChecks.ts';
import { poolEstimates } from '../../pooling/poolEstimates.ts';
import type { PooledResult } from '../../pooling/pooledResult.ts';
import type { PoolOptions } from '../../pooling/poolOptions.ts';
import { poolOptionNames } from '../../pooling/resolvePoolOptions.ts';

export const cumulativeDirections = ['rising', 'falling'] as const;
export type CumulativeDirection = (typeof cumulativeDirections)[number];

/** What happens to studies with the same place in the order: added in the order given, or in one step. */
export const cumulativeTies = ['together', 'as-given'] as const;
export type CumulativeTies = (typeof cumulativeTies)[number];

export interface CumulativeOrder<Item> {
  /** The number the order goes by: a year, a size, a column. Never missing. */
  readonly by: (item: Item) => number;
  /** What `by` is, as printed: "year". */
  readonly byName: string;
  /** Default `rising`. */
  readonly direction?: CumulativeDirection;
  /** Default `together`: an order within a year would be invented. */
  readonly ties?: CumulativeTies;
}

export interface CumulativeStep<Item, Result> {
  /** The value of the order at which these came in. */
  readonly at: number;
  readonly added: readonly Item[];
  /** Items in so far. */
  readonly count: number;
  readonly result: Result;
}

export interface Cumulative<Item, Result> {
  readonly kind: 'cumulative';
  readonly byName: string;
  readonly direction: CumulativeDirection;
  readonly ties: CumulativeTies;
  readonly steps: readonly CumulativeStep<Item, Result>[];
}

/**
 * How did the answer come about, study after study?
 *
 * Puts the studies in order and pools the first, the first two, and so on, with any pooling function.
 *
 * @param items studies, arms, tables: whatever `pool` takes
 * @param order what they are ordered by, see {@link CumulativeOrder}
 * @param pool pools the items in so far
 * @throws RangeError for an unknown option and for an item whose place in the order is not a finite number
 *
 * Source: Lau J, Antman EM, Jimenez-Silva J et al., N Engl J Med 1992;327:248-254.
 *
 * @example
 * cumulative(tables, { by: (table) => table.year, byName: 'year' }, (sofar) => poolTwoArms(sofar)).steps.at(-1)
 */
export function cumulative<Item, Result>(
  items: readonly Item[],
  order: CumulativeOrder<Item>,
  pool: (sofar: readonly Item[]) => Result,
): Cumulative<Item, Result> {
  checkOptionNames(order, ['by', 'byName', 'direction', 'ties']);
  const direction = checkChoice('direction', order.direction ?? 'rising', cumulativeDirections);
  const ties = checkChoice('ties', order.ties ?? 'together', cumulativeTies);
  const placed = items.map((item, position) => {
    const at = order.by(item);
    if (!Number.isFinite(at)) {
      throw new RangeError(`${order.byName} of item ${position + 1} must be a finite number, received ${at}`);
    }
    return { item, at };
  });
  const sign = direction === 'rising' ? 1 : -1;
  // The sort keeps the order given where places are equal.
  placed.sort((a, b) => sign * (a.at - b.at));
  const sofar: Item[] = [];
  const steps: CumulativeStep<Item, Result>[] = [];
  for (let from = 0; from < placed.length; ) {
    let to = from + 1;
    if (ties === 'together') while (to < placed.length && placed[to]!.at === placed[from]!.at) to++;
    const added = placed.slice(from, to).map(({ item }) => item);
    sofar.push(...added);
    steps.push({ at: placed[from]!.at, added, count: sofar.length, result: pool([...sofar]) });
    from = to;
  }
  return { kind: 'cumulative', byName: order.byName, direction, ties, steps };
}

/** Orders for {@link cumulativePool} that need nothing beside the estimates, most precise first. */
const precision: CumulativeOrder<Estimate> = {
  by: ({ variance }) => 1 / variance,
  byName: 'precision',
  direction: 'falling',
};

/**
 * The same for estimates, pooled by {@link poolEstimates}.
 *
 * @param order `'precision'` (most precise first) or any {@link CumulativeOrder}
 *
 * @example
 * cumulativePool(estimates, 'precision', { interval: 'hartung-knapp' }).steps.map((step) => step.result.natural)
 */
export function cumulativePool(
  estimates: readonly Estimate[],
  order: 'precision' | CumulativeOrder<Estimate>,
  options: PoolOptions = {},
): Cumulative<Estimate, PooledResult> {
  checkOptionNames(options, poolOptionNames);
  checkEstimates(estimates, undefined);
  return cumulative(estimates, order === 'precision' ? precision : order, (sofar) =>
    poolEstimates(sofar, options),
  );
}
