import { camelCase } from '../camelCase.ts';
import type { PrintedNumber } from '../printedNumber.ts';
import { notReported } from '../reported.ts';
import type { Review } from '../review.ts';
import type { RowAddress } from '../rowAddress.ts';
import { type SheetName, sheetNames, sheets } from '../sheets/sheets.ts';

/** A row of any sheet, by the names code uses. */
export type AnyRow = Readonly<Record<string, unknown>> & { readonly row: RowAddress };

/** A column of a sheet: its heading, and the name code uses. */
export interface SheetColumn {
  readonly heading: string;
  readonly name: string;
}

const columns = Object.fromEntries(
  sheetNames.map((sheet): [string, readonly SheetColumn[]] => [
    sheet,
    Object.keys(sheets[sheet].columns.shape).map((heading) => ({ heading, name: camelCase(heading) })),
  ]),
);

/** Every column a sheet may have. */
export const columnsOf = (sheet: SheetName): readonly SheetColumn[] => columns[sheet] ?? [];

/** The rows of a sheet; an optional sheet that is absent has none. */
export function rowsOfSheet(review: Review, sheet: SheetName): readonly AnyRow[] {
  return ((review as unknown as Readonly<Record<string, unknown>>)[sheet] ?? []) as readonly AnyRow[];
}

/** A cell's value as people read it: `not reported` for a cell that says nothing, decimals as printed. */
export function cellText(value: unknown): string {
  if (value === undefined || value === null || value === notReported) return notReported;
  if (typeof value === 'object' && 'text' in value) return String(value.text);
  if (typeof value === 'object' && 'decimals' in value && 'value' in value) {
    const printed = value as PrintedNumber;
    return printed.value.toFixed(printed.decimals);
  }
  return String(value);
}

export const isFilled = (value: unknown): boolean => cellText(value) !== notReported;
