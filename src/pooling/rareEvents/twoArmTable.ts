import type { Count } from '../../effects/estimate.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import { checkCounts } from '../checkCounts.ts';

/** One study's two arms: events among those treated, and among those compared with. */
export interface TwoArmTable {
  /** Study id. */
  readonly study: string;
  /** Study as printed. */
  readonly label: string;
  readonly treated: Count;
  readonly comparator: Count;
  /** Sheet rows the counts come from. */
  readonly rows: readonly RowAddress[];
}

/** No shoulder of either arm had an event. */
export const isDoubleZero = ({ treated, comparator }: TwoArmTable): boolean =>
  treated.events === 0 && comparator.events === 0;

/** Every shoulder of both arms had an event. */
export const isAllEvents = ({ treated, comparator }: TwoArmTable): boolean =>
  treated.events === treated.total && comparator.events === comparator.total;

/**
 * Are these counts ones that two arms can have?
 *
 * @throws RangeError when a count is not a whole number, a total is below 1, or events exceed the total;
 *   the message names the study, the arm and the value received
 *
 * @example
 * checkTwoArmTables([{ study: 's1', label: 'Harbour 2019', treated: { events: 1, total: 20 },
 *   comparator: { events: 0, total: 22 }, rows: [] }]);
 */
export function checkTwoArmTables(tables: readonly TwoArmTable[]): void {
  for (const { label, treated, comparator } of tables) {
    checkCounts([
      { ...treated, label: `the treated arm of ${label}` },
      { ...comparator, label: `the comparator arm of ${label}` },
    ]);
  }
}
