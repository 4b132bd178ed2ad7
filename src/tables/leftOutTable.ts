import type { RowAddress } from '../extraction/rowAddress.ts';
import { type Table, table } from './table.ts';

/** Something that could have counted and did not, with the reason. */
export interface LeftOutEntry {
  readonly label: string;
  readonly arm?: string | undefined;
  readonly reason: string;
  /** Where it stands: one row, or the several an estimate was made from. */
  readonly row?: RowAddress;
  readonly rows?: readonly RowAddress[];
}

/** Which arms and rows were left out, why, and where they stand in the sheets. */
export function leftOutTable(
  leftOut: readonly LeftOutEntry[],
  options: { readonly caption?: string } = {},
): Table {
  return table({
    caption: options.caption ?? 'Left out, with the reason',
    columns: [
      { key: 'study', heading: 'Study' },
      { key: 'arm', heading: 'Arm' },
      { key: 'reason', heading: 'Reason' },
      { key: 'sheet', heading: 'Sheet and line' },
    ],
    rows: leftOut.map((entry) => ({
      study: entry.label,
      arm: entry.arm,
      reason: entry.reason,
      sheet: [...(entry.rows ?? []), ...(entry.row === undefined ? [] : [entry.row])]
        .map((row) => `${row.file}:${row.line}`)
        .join(', '),
    })),
  });
}
