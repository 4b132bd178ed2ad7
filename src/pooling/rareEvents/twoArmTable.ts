import type { Count } from '../../effects/estimate.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';

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
  for (const table of tables) {
    for (const arm of ['treated', 'comparator'] as const) {
      checkCount(table[arm], `${table.label}, ${arm} arm`);
    }
  }
}

/** Throws when events and total cannot be those of one arm; `owner` names it in the message. */
export function checkCount({ events, total }: Count, owner: string): void {
  if (!Number.isInteger(total) || total < 1) {
    throw new RangeError(`${owner}: total must be a whole number of at least 1, received ${total}`);
  }
  if (!Number.isInteger(events) || events < 0 || events > total) {
    throw new RangeError(`${owner}: events must be a whole number from 0 to ${total}, received ${events}`);
  }
}
