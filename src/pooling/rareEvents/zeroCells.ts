import type { ZeroCells } from './twoArmOptions.ts';
import { zeroCellTargets } from './twoArmOptions.ts';
import type { TwoArmTable } from './twoArmTable.ts';

/** A 2×2 table whose cells may carry an addition, and what was added. */
export interface AdjustedTable {
  readonly table: TwoArmTable;
  readonly treatedEvents: number;
  readonly treatedWithout: number;
  readonly comparatorEvents: number;
  readonly comparatorWithout: number;
  /** Added to each of the two cells of that arm; 0 when the counts stand as they are. */
  readonly added: { readonly treated: number; readonly comparator: number };
}

/**
 * What would the tables be with something added to their cells, and how much was added where?
 *
 * - `'none'`: the counts as they are.
 * - `{ addToEachCell: c, to }`: `c` to each of the four cells of tables with a zero cell (default), or of
 *   every table.
 * - `'treatment-arm-reciprocal'`: tables with a zero cell get, in each cell of an arm, an amount
 *   proportional to the reciprocal of the other arm's size, the two amounts adding up to 1:
 *   `n₁/(n₁ + n₂)` in the treated arm and `n₂/(n₁ + n₂)` in the comparator arm. A table without events
 *   then has an odds ratio of exactly 1 whatever the sizes of its arms, which a constant does not give.
 *
 * @throws RangeError for an amount that is not above zero or an unknown option, naming the allowed ones
 *
 * Source: Sweeting MJ, Sutton AJ, Lambert PC, Stat Med 2004;23:1351-1375, section 3.3.
 *
 * @example
 * applyZeroCells([{ study: 's1', label: 'Harbour 2019', treated: { events: 0, total: 30 },
 *   comparator: { events: 0, total: 10 }, rows: [] }], 'treatment-arm-reciprocal')[0].added;
 * // { treated: 0.75, comparator: 0.25 }
 */
export function applyZeroCells(tables: readonly TwoArmTable[], zeroCells: ZeroCells): AdjustedTable[] {
  checkZeroCells(zeroCells);
  return tables.map((table) => {
    const { treated, comparator } = table;
    const withZero =
      treated.events === 0 ||
      comparator.events === 0 ||
      treated.events === treated.total ||
      comparator.events === comparator.total;
    const added = { treated: 0, comparator: 0 };
    if (zeroCells === 'treatment-arm-reciprocal') {
      if (withZero) {
        const all = treated.total + comparator.total;
        added.treated = treated.total / all;
        added.comparator = comparator.total / all;
      }
    } else if (zeroCells !== 'none' && (withZero || zeroCells.to === 'every-table')) {
      added.treated = zeroCells.addToEachCell;
      added.comparator = zeroCells.addToEachCell;
    }
    return {
      table,
      treatedEvents: treated.events + added.treated,
      treatedWithout: treated.total - treated.events + added.treated,
      comparatorEvents: comparator.events + added.comparator,
      comparatorWithout: comparator.total - comparator.events + added.comparator,
      added,
    };
  });
}

/** Throws for an option {@link applyZeroCells} does not know. */
export function checkZeroCells(zeroCells: ZeroCells): void {
  if (zeroCells === 'none' || zeroCells === 'treatment-arm-reciprocal') return;
  if (typeof zeroCells !== 'object' || zeroCells === null) {
    throw new RangeError(
      `zeroCells must be 'none', 'treatment-arm-reciprocal' or { addToEachCell }, received ${String(zeroCells)}`,
    );
  }
  const unknown = Object.keys(zeroCells).filter((key) => key !== 'addToEachCell' && key !== 'to');
  if (unknown.length > 0) {
    throw new RangeError(`zeroCells knows addToEachCell and to, received ${unknown.join(', ')}`);
  }
  const { addToEachCell, to } = zeroCells;
  if (!(Number.isFinite(addToEachCell) && addToEachCell > 0)) {
    throw new RangeError(`addToEachCell must be a finite number above 0, received ${addToEachCell}`);
  }
  if (to !== undefined && !zeroCellTargets.includes(to)) {
    throw new RangeError(`zeroCells.to must be one of ${zeroCellTargets.join(', ')}, received ${String(to)}`);
  }
}

/** The choice in words, for a methods sentence. */
export function zeroCellsInWords(zeroCells: ZeroCells): string {
  if (zeroCells === 'none') return 'nothing was added to any cell';
  if (zeroCells === 'treatment-arm-reciprocal') {
    return "each arm of a study with a zero cell had the reciprocal of the other arm's size, scaled to add up to 1, added to its cells";
  }
  const where = zeroCells.to === 'every-table' ? 'every study' : 'studies with a zero cell';
  return `${zeroCells.addToEachCell} was added to each cell of ${where}`;
}
