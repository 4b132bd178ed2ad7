import type { Count } from './estimate.ts';

/** Counts beyond this have no exact limits: the beta distribution behind them is computed up to 1e9. */
export const largestTotal = 999_999_999;

/**
 * Refuses a count that cannot be: events and total must be whole, events from 0 to total, total at least 1 and below a thousand million.
 *
 * @throws RangeError naming what was wrong, the bound and the value received
 */
export function checkCount({ events, total }: Count, whose = ''): void {
  const of = whose === '' ? '' : ` of ${whose}`;
  if (!(Number.isInteger(total) && total >= 1)) {
    throw new RangeError(`total${of} must be a whole number of at least 1, received ${total}`);
  }
  if (total > largestTotal)
    throw new RangeError(`total${of} must be at most ${largestTotal}, received ${total}`);
  if (!(Number.isInteger(events) && events >= 0 && events <= total)) {
    throw new RangeError(
      `events${of} must be a whole number from 0 to the total ${total}, received ${events}`,
    );
  }
}
