import type { Count } from '../../effects/estimate.ts';
import { countOfRow } from '../../extraction/countOfRow.ts';
import { isReported } from '../../extraction/reported.ts';
import type { EventRow, PrintedRow } from '../../extraction/review.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import type { AuditedSheets } from './auditFinding.ts';

/** A count of the sheets that a printed statistic may belong to. */
export interface AuditedCount {
  readonly count: Count;
  readonly row: RowAddress;
  /** Definition, assessor and time: two arms are compared only where these agree. */
  readonly kind: string;
}

const sameRow = (printed: PrintedRow, arm: string) => (row: EventRow) =>
  row.study === printed.study &&
  row.outcome === printed.outcome &&
  row.arm === arm &&
  (!isReported(printed.followUpMonths) || row.followUpMonths === printed.followUpMonths);

/** Rows of events.csv for the outcome of a printed statistic in one arm. */
export const eventRowsFor = (sheets: AuditedSheets, printed: PrintedRow, arm: string): readonly EventRow[] =>
  sheets.events.filter(sameRow(printed, arm));

/** Whole counts among them, also those a percentage gives. */
export function countsFor(sheets: AuditedSheets, printed: PrintedRow, arm: string): readonly AuditedCount[] {
  return eventRowsFor(sheets, printed, arm).flatMap((row): AuditedCount[] => {
    const count = countOfRow(row);
    if (typeof count === 'string') return [];
    const kind = JSON.stringify(
      [row.definition, row.assessor, row.followUpMonths].map((each) => String(each).toLowerCase()),
    );
    return [{ count: { events: count.events, total: count.total }, row: row.row, kind }];
  });
}

/** Pairs of counts of two arms that were counted alike. A count typed beside the statistic stands in for the first arm's. */
export function pairsFor(
  sheets: AuditedSheets,
  printed: PrintedRow,
  arm: string,
  comparator: string,
): readonly { readonly one: AuditedCount; readonly other: AuditedCount }[] {
  const others = countsFor(sheets, printed, comparator);
  const { events, total } = printed;
  if (isReported(events) && isReported(total) && events <= total)
    return others.map((other) => ({
      one: { count: { events, total }, row: printed.row, kind: other.kind },
      other,
    }));
  return countsFor(sheets, printed, arm).flatMap((one) =>
    others.filter(({ kind }) => kind === one.kind).map((other) => ({ one, other })),
  );
}

/** Numbers of shoulders and patients an arm of the study has anywhere, for this outcome. */
export function totalsOfArm(sheets: AuditedSheets, printed: PrintedRow, arm: string): readonly number[] {
  const row = sheets.arms.find((each) => each.study === printed.study && each.arm === arm);
  const ofArm =
    row === undefined
      ? []
      : [row.shouldersAnalysed, row.shouldersEnrolled, row.patientsAnalysed, row.patientsEnrolled];
  const ofEvents = eventRowsFor(sheets, printed, arm).flatMap((each) => [
    each.eligibleShoulders,
    each.eligiblePatients,
  ]);
  return [...new Set([...ofEvents, ...ofArm].filter(isReported))];
}
