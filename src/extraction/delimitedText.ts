import { parse } from 'csv-parse/browser/esm/sync';
import type { Problem } from './problem.ts';

/** A cell with the place where it starts, as an editor counts. */
export interface TextCell {
  readonly text: string;
  readonly line: number;
  readonly column: number;
}

/** A row that is neither blank nor a comment. */
export interface TextRow {
  readonly line: number;
  readonly cells: readonly TextCell[];
}

export interface DelimitedText {
  readonly rows: readonly TextRow[];
  readonly problems: readonly Problem[];
  /** A quote was never closed, so that rows after it are lost. */
  readonly unfinished: boolean;
}

/** Between cells: a comma, a semicolon or a tab. */
export const delimiters = [',', ';', '\t'] as const;
export type Delimiter = (typeof delimiters)[number];

interface ParsedRecord {
  readonly record: readonly string[];
  readonly raw: string;
}

/**
 * Which cells does the text hold, and where does each start?
 *
 * The parser gives cells and the raw text of each record; the place of a cell follows by walking
 * the raw text, since a quoted cell is its text with quotes doubled and two more around it.
 * A row whose first cell starts with `#` is a comment. Rows without any text are dropped.
 */
export function parseDelimitedText(file: string, text: string, delimiter: Delimiter): DelimitedText {
  const problems: Problem[] = [];
  const rows: TextRow[] = [];
  let unfinished = false;
  const records = parse(text, {
    delimiter,
    raw: true,
    relax_column_count: true,
    // Faulty quotes are reported below with their places, all at once, instead of at the first one.
    relax_quotes: true,
    record_delimiter: ['\n'],
    skip_records_with_error: true,
    on_skip: () => {
      unfinished = true;
      return undefined;
    },
  }) as unknown as readonly ParsedRecord[];

  let offset = 0;
  const position = positionFinder(text);
  for (const { record, raw } of records) {
    const cells: TextCell[] = [];
    let start = 0;
    for (const cell of record) {
      const placed = { text: cell, ...position(offset + start) };
      cells.push(placed);
      const quoted = `"${cell.replaceAll('"', '""')}"`;
      const isQuoted = raw.startsWith(quoted, start);
      // The parser keeps a quote that opens a cell as text only when more text followed the closing one.
      if (!isQuoted && cell.startsWith('"')) problems.push(textAfterQuote(file, placed));
      start += (isQuoted ? quoted.length : cell.length) + delimiter.length;
    }
    offset += raw.length;
    if (isDataRow(cells)) rows.push({ line: cells[0]?.line ?? 1, cells });
  }
  if (unfinished) problems.push(unclosedQuote(file, text, offset, delimiter, position));
  return { rows, problems, unfinished };
}

const spreadsheetError = /^#(ref!|n\/a|div\/0!|value!|name\?|num!|null!|#+$)/i;

/** Neither blank nor a comment; an error code such as `#REF!` in the first cell is data that was lost. */
export function isDataRow(cells: readonly Pick<TextCell, 'text'>[]): boolean {
  const first = cells[0]?.text.trim() ?? '';
  if (first.startsWith('#') && !spreadsheetError.test(first)) return false;
  return cells.some((cell) => cell.text.trim() !== '');
}

type PositionFinder = (offset: number) => { readonly line: number; readonly column: number };

/** Line and column of offsets that only ever grow. */
function positionFinder(text: string): PositionFinder {
  let line = 1;
  let lineStart = 0;
  return (offset) => {
    for (;;) {
      const next = text.indexOf('\n', lineStart);
      if (next < 0 || next >= offset) break;
      line += 1;
      lineStart = next + 1;
    }
    return { line, column: offset - lineStart + 1 };
  };
}

/** The last opening quote of the unfinished record is the one that was never closed. */
function unclosedQuote(
  file: string,
  text: string,
  offset: number,
  delimiter: Delimiter,
  position: PositionFinder,
): Problem {
  const rest = text.slice(offset);
  let at = 0;
  let open = 0;
  let inside = false;
  for (; at < rest.length; at += 1) {
    if (rest[at] !== '"') continue;
    const before = at === 0 ? '\n' : rest[at - 1];
    if (!inside && (before === delimiter || before === '\n')) {
      inside = true;
      open = at;
    } else if (inside && rest[at + 1] === '"') at += 1;
    else if (inside && [delimiter, '\n', undefined].includes(rest[at + 1] as Delimiter)) inside = false;
  }
  return {
    severity: 'error',
    file,
    ...position(offset + open),
    value: rest.slice(open).split('\n')[0] ?? '',
    expected: 'a closing quote before the end of the file',
    cure: 'Add the closing quote where the cell ends; a quote that belongs to the text is typed twice.',
  };
}

function textAfterQuote(file: string, cell: TextCell): Problem {
  return {
    severity: 'error',
    file,
    line: cell.line,
    column: cell.column,
    value: cell.text,
    expected: 'nothing between the closing quote and the next separator',
    cure: 'Type each quote that belongs to the text twice, and put the whole cell in quotes.',
  };
}
