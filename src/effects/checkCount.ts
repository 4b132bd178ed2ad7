import type { Count } from './estimate.ts';

/**
 * Refuses a count that cannot be: events and total must be whole, events from 0 to total, total at least 1.
 *
 * @throws RangeError naming what was wrong, the bound and the value received
 */
export function checkCount({ events, total }: Count, whose = ''): void {
  const of = whose === '' ? '' : ` of ${whose}`;
  if (!(Number.isInteger(total) && total >= 1)) {
    throw new RangeError(`total${of} must be a whole number of at least 1, received ${total}`);
  }
  if (!(Number.isInteger(events) && events >= 0 && events <= total)) {
    throw new RangeError(
      `events${of} must be a whole number from 0 to the total ${total}, received ${events}`,
    );
  }
}
