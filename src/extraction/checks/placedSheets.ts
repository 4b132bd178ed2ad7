import type { Protocol } from '../protocol.ts';
import type { PlacedRow } from '../readSheet.ts';
import type { RowOf } from '../review.ts';
import type { SheetName } from '../sheets/sheets.ts';

/** All rows that passed their schemas, with their places, and the protocol when it could be read. */
export type PlacedSheets = {
  readonly [Name in SheetName]: readonly PlacedRow<RowOf<Name>>[];
} & { readonly protocol: Protocol | undefined };

/** Study and arm as one key; the separator cannot be typed in a short name. */
export const armKey = (row: { readonly study: string; readonly arm: string }): string =>
  `${row.study} ${row.arm}`;
