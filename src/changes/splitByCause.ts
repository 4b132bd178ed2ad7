/** What one cause contributes to a change. */
export interface CausePart<Cause extends string> {
  readonly cause: Cause;
  /** Average over the orders; the parts add up to the whole change. */
  readonly value: number;
  /** Least and most over the orders: where they lie apart, the causes act on each other. */
  readonly lowest: number;
  readonly highest: number;
}

/** The parts of the groups when they come in one order. */
export interface GroupOrder<Cause extends string> {
  /** Each group's causes, in the order in which the groups were let in. */
  readonly groups: readonly (readonly Cause[])[];
  /** What each group contributed, in the same order. */
  readonly parts: readonly number[];
}

/** A change of a number divided among its causes. */
export interface CauseSplit<Cause extends string> {
  readonly total: number;
  readonly parts: readonly CausePart<Cause>[];
  /** Every order of the groups that has an answer all along. */
  readonly orders: readonly GroupOrder<Cause>[];
}

/** All orders of a list. */
function ordersOf<Item>(items: readonly Item[]): readonly (readonly Item[])[] {
  if (items.length <= 1) return [items];
  return items.flatMap((first, at) =>
    ordersOf(items.filter((_, other) => other !== at)).map((rest) => [first, ...rest]),
  );
}

/** Every way of picking one entry of each list. */
function combinations<Item>(lists: readonly (readonly Item[])[]): readonly (readonly Item[])[] {
  return lists.reduce<readonly (readonly Item[])[]>(
    (all, list) => all.flatMap((head) => list.map((item) => [...head, item])),
    [[]],
  );
}

/**
 * How much of a change belongs to each of its causes?
 *
 * The causes are let in one after the other, and each is charged with what the number moved when it came. That depends
 * on the order, so the average over all orders is taken (the Shapley value); causes of a group, such as studies added and
 * cells corrected within "data", are always let in together, so that the group's own share is that of the groups alone
 * (the Owen value). In every order the steps add up to the whole change, and so do the averages. An order that passes
 * through a state without an answer is left out.
 *
 * @param groups causes by group; every cause once
 * @param value the number when these causes have been let in; undefined where there is none
 * @returns undefined when there is no number before or after, or no order with a number all along
 * @see Shapley LS. A value for n-person games. In: Contributions to the Theory of Games II, 1953:307-317. Owen G. Values of
 *   games with a priori unions. In: Mathematical Economics and Game Theory, 1977:76-88.
 * @example
 * splitByCause([['data'], ['rules']], (applied) => rateUnder(applied))?.parts
 */
export function splitByCause<Cause extends string>(
  groups: readonly (readonly Cause[])[],
  value: (applied: ReadonlySet<Cause>) => number | undefined,
): CauseSplit<Cause> | undefined {
  const causes = groups.flat();
  if (new Set(causes).size < causes.length) throw new RangeError('every cause must be named once');
  const known = new Map<string, number | undefined>();
  const at = (applied: readonly Cause[]): number | undefined => {
    const key = causes.filter((cause) => applied.includes(cause)).join('+');
    if (!known.has(key)) known.set(key, value(new Set(applied)));
    return known.get(key);
  };
  const [start, end] = [at([]), at(causes)];
  if (start === undefined || end === undefined) return undefined;
  const steps = new Map<Cause, number[]>(causes.map((cause) => [cause, []]));
  const orders: GroupOrder<Cause>[] = [];
  for (const order of ordersOf(groups.filter((group) => group.length > 0))) {
    const bounds = order.map((_, index) => at(order.slice(0, index + 1).flat()));
    if (bounds.every((bound) => bound !== undefined)) {
      const parts = bounds.map(
        (bound, index) => bound - (index === 0 ? start : (bounds[index - 1] as number)),
      );
      orders.push({ groups: order, parts });
    }
    for (const within of combinations(order.map((group) => ordersOf(group)))) {
      const sequence = within.flat();
      const path = sequence.map((_, index) => at(sequence.slice(0, index + 1)));
      if (path.some((each) => each === undefined)) continue;
      for (const [index, cause] of sequence.entries()) {
        const before = index === 0 ? start : (path[index - 1] as number);
        steps.get(cause)?.push((path[index] as number) - before);
      }
    }
  }
  const parts = causes.map((cause): CausePart<Cause> => {
    const own = steps.get(cause) ?? [];
    return {
      cause,
      value: own.reduce((sum, step) => sum + step, 0) / own.length,
      lowest: Math.min(...own),
      highest: Math.max(...own),
    };
  });
  if (parts.some(({ value: part }) => !Number.isFinite(part))) return undefined;
  return { total: end - start, parts, orders };
}
