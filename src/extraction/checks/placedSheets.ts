import type { Protocol } from '../protocol.ts';
import type { PlacedRow } from '../readRow.ts';
import type { RowOf } from '../review.ts';
import type { SheetName } from '../sheets/sheets.ts';

/** Names of a row that could not be read; a row that refers to it is no stranger. */
export interface UnreadNames {
  readonly study: string;
  readonly arm: string;
}

/** All rows that passed their schemas, with their places, and the protocol when it could be read. */
export type PlacedSheets = {
  readonly [Name in SheetName]: readonly PlacedRow<RowOf<Name>>[];
} & {
  readonly protocol: Protocol | undefined;
  /** Rows of each sheet that did not pass; undefined where the sheet as a whole could not be read. */
  readonly unread: Readonly<Record<SheetName, readonly UnreadNames[] | undefined>>;
};
