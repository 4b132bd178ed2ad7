import { largestTotal } from '../effects/checkCount.ts';
import type { Count } from '../effects/estimate.ts';

/** Throws unless every count is a whole number of events among a whole number of shoulders above zero, not more than a beta distribution reaches. */
export function checkCounts(counts: readonly (Count & { readonly label?: string })[]): void {
  for (const [index, { events, total, label }] of counts.entries()) {
    const name = label ?? `count ${index + 1}`;
    if (!(Number.isSafeInteger(total) && total > 0)) {
      throw new RangeError(`total of ${name} must be a whole number above 0, received ${total}`);
    }
    if (total > largestTotal)
      throw new RangeError(`total of ${name} must be at most ${largestTotal}, received ${total}`);
    if (!(Number.isSafeInteger(events) && events >= 0 && events <= total)) {
      throw new RangeError(`events of ${name} must be a whole number from 0 to ${total}, received ${events}`);
    }
  }
}
