import { parse } from 'csv-parse/browser/esm/sync';
import { stringify } from 'csv-stringify/browser/esm/sync';
import { isDataRow } from './delimitedText.ts';
import { detectDelimiter, plainHeading } from './headings.ts';

/** Cells by heading. */
export type SheetCells = Readonly<Record<string, string>>;

export interface SheetEdits {
  /** Cells to put into rows that are there, by the line each row begins on. */
  readonly cells: ReadonlyMap<number, SheetCells>;
  /** Rows to put after the last. */
  readonly rows: readonly SheetCells[];
}

/**
 * The same file with some cells and rows more, and nothing else changed: rows keep their order, comments, blank lines and
 * other cells stay as typed, and so do the separator, the byte order mark and the line ends. A heading that the edits name
 * and the file lacks becomes the last column. Cells in rewritten rows may gain or lose quotes they do not need.
 *
 * @param content a file that reads without errors
 * @param known headings of the sheet, by which the separator is found
 * @throws RangeError for a line on which no row begins
 */
export function editSheet(
  content: string | Uint8Array,
  known: readonly string[],
  { cells, rows }: SheetEdits,
): string {
  const raw =
    typeof content === 'string' ? content : new TextDecoder('utf-8', { ignoreBOM: true }).decode(content);
  const mark = raw.startsWith('\ufeff') ? '\ufeff' : '';
  const lineEnd = raw.includes('\r\n') ? '\r\n' : '\n';
  const whole = raw.slice(mark.length).replace(/\r\n?/g, '\n');
  const { delimiter, directive } = detectDelimiter(whole, known);
  const start = directive ? (/^[^\n]*/.exec(whole)?.[0] ?? '') : '';
  const records = parse(whole.slice(start.length), {
    delimiter,
    raw: true,
    relax_column_count: true,
    relax_quotes: true,
    record_delimiter: ['\n'],
  }) as unknown as readonly { readonly record: readonly string[]; readonly raw: string }[];
  const isRow = (record: readonly string[]): boolean => isDataRow(record.map((text) => ({ text })));
  const headingRow = records.find(({ record }) => isRow(record))?.record ?? [];
  const headings = headingRow.map(plainHeading);
  const named = [...cells.values(), ...rows].flatMap((each) => Object.keys(each));
  const further = known.filter((heading) => named.includes(heading) && !headings.includes(heading));
  const all = [...headings, ...further];
  const write = (row: readonly string[]): string => stringify([row], { delimiter, record_delimiter: '\n' });
  const waiting = new Set(cells.keys());
  let line = 1;
  const written = records.map(({ record, raw: text }) => {
    const at = line;
    line += text.split('\n').length - 1;
    if (!isRow(record)) return text;
    if (record === headingRow) return further.length === 0 ? text : write([...record, ...further]);
    const own = cells.get(at);
    waiting.delete(at);
    if (own === undefined && further.length === 0) return text;
    return write(
      all.map((heading, index) => own?.[heading] ?? (index < headings.length ? record[index] : '') ?? ''),
    );
  });
  if (waiting.size > 0) throw new RangeError(`no row begins on line ${[...waiting].join(', ')}`);
  const body = `${start}${written.join('')}`;
  const end = body === '' || body.endsWith('\n') || rows.length === 0 ? '' : '\n';
  const added = rows.map((row) => write(all.map((heading) => row[heading] ?? ''))).join('');
  return `${mark}${`${body}${end}${added}`.replaceAll('\n', lineEnd)}`;
}
