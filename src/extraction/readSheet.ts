import type { z } from 'zod';
import { cellProblem } from './cellProblem.ts';
import type { UnreadNames } from './checks/placedSheets.ts';
import { decodeText } from './decodeText.ts';
import { parseDelimitedText, type TextRow } from './delimitedText.ts';
import { detectDelimiter } from './headings.ts';
import { trimCell } from './missingText.ts';
import type { Problem } from './problem.ts';
import { hasOneCellPerHeading, readHeadings } from './readHeadings.ts';
import { type PlacedRow, placeColumns, readRow } from './readRow.ts';
import type { RowOf } from './review.ts';
import { type SheetName, sheets } from './sheets/sheets.ts';

export interface SheetReading<Row> {
  readonly rows: readonly PlacedRow<Row>[];
  /** Names in rows that did not pass; undefined when the sheet as a whole could not be read. */
  readonly unread: readonly UnreadNames[] | undefined;
  readonly problems: readonly Problem[];
}

/** Which rows does one file hold, and what is wrong with its headings and cells? */
export function readSheet<Name extends SheetName>(
  name: Name,
  content: string | Uint8Array,
): SheetReading<RowOf<Name>> {
  return readRows<RowOf<Name>>(sheets[name], content);
}

/** The same for a file that is laid out like a sheet of a review and is none, such as decisions.csv. */
export function readRows<Row>(
  { file, columns }: { readonly file: string; readonly columns: z.ZodObject },
  content: string | Uint8Array,
): SheetReading<Row> {
  const shape: Readonly<Record<string, z.ZodType>> = columns.shape;
  const known = Object.keys(shape);
  const decoded = decodeText(file, content);
  if (decoded.text === undefined) return { rows: [], unread: undefined, problems: [decoded.problem] };
  const detected = detectDelimiter(decoded.text, known);
  // The directive's line stays as a blank line, so that later lines keep their numbers.
  const text = detected.directive ? decoded.text.replace(/^[^\n]*/, '') : decoded.text;
  const parsed = parseDelimitedText(file, text, detected.delimiter);
  const problems: Problem[] = [...parsed.problems];
  const headingRow = parsed.rows[0];
  if (headingRow === undefined) {
    problems.push(
      cellProblem(file, { text: '', line: 1, column: 1 }, 'error', {
        expected: 'a row of headings',
        cure: `Copy the headings of template/${file}.`,
      }),
    );
    return { rows: [], unread: undefined, problems };
  }
  const headings = readHeadings(file, headingRow, shape, problems);
  if (headings === undefined) return { rows: [], unread: undefined, problems };
  const placed = placeColumns(columns, headings);
  const rows: PlacedRow<Row>[] = [];
  const unread: UnreadNames[] = [];
  for (const textRow of parsed.rows.slice(1)) {
    const row = hasOneCellPerHeading(file, textRow, headingRow, problems)
      ? readRow<Row>(file, textRow, placed, columns, problems)
      : undefined;
    if (row !== undefined) rows.push(row);
    else unread.push(namesIn(textRow, headings));
  }
  // Rows after an open quote are lost, so nobody can tell which names they held.
  return { rows, unread: parsed.unfinished ? undefined : unread, problems };
}

function namesIn(row: TextRow, headings: ReadonlyMap<string, number>): UnreadNames {
  const textOf = (heading: string): string =>
    trimCell(row.cells[headings.get(heading) ?? -1]?.text ?? '').normalize('NFC');
  return { study: textOf('study'), arm: textOf('arm') };
}
