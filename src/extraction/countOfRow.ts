import { isReported } from './reported.ts';
import type { EventRow } from './review.ts';
import { wholeCountsFor } from './wholeCounts.ts';

export interface RowCount {
  readonly events: number;
  readonly total: number;
  readonly notes: readonly string[];
}

/**
 * Events and total of a row, or the reason it has none.
 *
 * A percentage gives the count only when exactly one whole number of the total prints as it; the
 * note then says so. Patients never stand in for shoulders.
 */
export function countOfRow(row: EventRow): RowCount | string {
  const { events, eligibleShoulders: total, percent } = row;
  if (!isReported(total)) {
    return isReported(row.eligiblePatients)
      ? 'Only patients are counted; the number of eligible shoulders is not reported.'
      : 'The number of eligible shoulders is not reported.';
  }
  if (isReported(events)) return { events, total, notes: [] };
  if (!isReported(percent)) return 'The number of events is not reported.';
  const [only, ...others] = wholeCountsFor(percent, total);
  const printed = `${percent.value.toFixed(percent.decimals)} %`;
  if (only === undefined) return `Only ${printed} of ${total} is reported, and no whole count gives it.`;
  if (others.length > 0) {
    return `Only ${printed} of ${total} is reported, and ${others.length + 1} whole counts give it.`;
  }
  return { events: only, total, notes: [`${only} of ${total} was worked out from the printed ${printed}.`] };
}
