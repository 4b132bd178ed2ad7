import { isReported, type Reported } from '../extraction/reported.ts';
import type { RowAddress } from '../extraction/rowAddress.ts';
import { withoutAnswerMarks } from '../wording/answerMark.ts';
import type { BesideKind } from '../wording/beside.ts';
import { checkFootnotes } from './footnotes.ts';

/** Where a column is shown: people read one interval, a spreadsheet wants its two limits apart. */
export const columnPlaces = ['everywhere', 'page', 'file'] as const;
export type ColumnPlace = (typeof columnPlaces)[number];

export interface TableColumn {
  readonly key: string;
  readonly heading: string;
  readonly align?: 'left' | 'right';
  /** `page` hides the column in CSV, `file` shows it in CSV only; default `everywhere`. */
  readonly shownIn?: ColumnPlace;
  /** A heading over this column and its neighbours of the same group. */
  readonly group?: string;
  /** Keys of footnotes about the whole column. */
  readonly notes?: readonly string[];
  /** Set where the numbers of the column stand beside the review's answers. */
  readonly beside?: BesideKind;
}

/** What a cell says: text as printed, a number, or undefined for a cell that has no answer. */
export type CellValue = string | number | undefined;

/** A cell with footnotes: the keys of those that explain it. */
export interface NotedCell {
  readonly text: CellValue;
  readonly notes: readonly string[];
}

/** One cell: what it says, with or without footnotes. */
export type TableCell = CellValue | NotedCell;
export type TableRow = Readonly<Record<string, TableCell>>;

/** A heading over the next rows of the table. */
export interface RowGroup {
  readonly heading: string;
  /** How many rows stand under it; the groups of a table cover all its rows in order. */
  readonly rows: number;
  /** Keys of footnotes about the group. */
  readonly notes?: readonly string[];
}

/** An explanation below the table. Marks (a, b, c) are given in the order in which a reader meets them. */
export interface Footnote {
  readonly key: string;
  readonly text: string;
}

/** The one table object that text, Markdown, HTML, CSV and Word are written from. */
export interface Table {
  readonly kind: 'table';
  readonly caption: string;
  /** The first column names the row. */
  readonly columns: readonly TableColumn[];
  readonly rows: readonly TableRow[];
  readonly notes: readonly string[];
  /** Headings over rows; absent in a plain table. */
  readonly rowGroups?: readonly RowGroup[];
  /** Explanations of marked cells; absent in a plain table. */
  readonly footnotes?: readonly Footnote[];
  /** For each row, the lines of the sheets it rests on; absent where a table does not say. */
  readonly sources?: readonly (readonly RowAddress[])[];
  /** For each row, the id of the answer whose number it prints; absent where no row prints one. */
  readonly answers?: readonly (string | undefined)[];
  /** Set where the numbers are not the review's answers but stand beside them. */
  readonly beside?: BesideKind;
  /** The same for single rows. */
  readonly rowsBeside?: readonly (BesideKind | undefined)[];
}

/** What a table is built from. */
export interface TableParts {
  readonly caption: string;
  readonly columns: readonly TableColumn[];
  readonly rows: readonly TableRow[];
  readonly notes?: readonly string[];
  readonly rowGroups?: readonly RowGroup[];
  readonly footnotes?: readonly Footnote[];
  readonly sources?: readonly (readonly RowAddress[])[];
  readonly answers?: readonly (string | undefined)[];
  readonly beside?: BesideKind;
  readonly rowsBeside?: readonly (BesideKind | undefined)[];
}

/**
 * Builds a table and checks that every row speaks of the columns it has.
 *
 * @param parts caption, columns (the first names the row), rows by column key, and notes printed below; where wanted,
 *   headings over columns (`group`) and over rows (`rowGroups`), footnotes of cells, and the sheet lines of each row
 * @throws when there is no column, a key is used twice, a row has a key no column has, a cell is NaN or infinite, the
 *   columns of a group do not stand together, row groups do not cover the rows, sources do not match the rows, or
 *   footnotes and marked cells do not match
 * @example
 * table({
 *   caption: 'Counts',
 *   columns: [{ key: 'site', heading: 'Site' }, { key: 'sure', heading: 'Certainty' }],
 *   rows: [{ site: 'Tenotomy', sure: { text: 'low', notes: ['bias'] } }],
 *   footnotes: [{ key: 'bias', text: 'One level down: no study was blinded.' }],
 * })
 */
export function table(parts: TableParts): Table {
  const fail = (problem: string): never => {
    throw new RangeError(`table "${parts.caption}": ${problem}`);
  };
  const keys = new Set(parts.columns.map((column) => column.key));
  if (keys.size === 0) fail('needs at least one column');
  if (keys.size < parts.columns.length) fail('two columns share a key');
  for (const row of parts.rows) {
    for (const [key, cell] of Object.entries(row)) {
      if (!keys.has(key)) fail(`a row has "${key}", the columns are ${[...keys].join(', ')}`);
      const value = cellValue(cell);
      if (typeof value === 'number' && !Number.isFinite(value)) {
        fail(`"${key}" is ${value}; leave it out instead`);
      }
    }
  }
  const apart = groupSetApart(parts.columns);
  if (apart !== undefined) fail(`columns of the group "${apart}" do not stand together`);
  if (parts.rowGroups !== undefined) {
    const covered = parts.rowGroups.reduce((sum, { rows }) => sum + rows, 0);
    if (parts.rowGroups.some(({ rows }) => !Number.isInteger(rows) || rows < 0))
      fail('rows of a row group must be a whole number, 0 or more');
    if (covered !== parts.rows.length)
      fail(`row groups cover ${covered} rows, the table has ${parts.rows.length}`);
  }
  if (parts.answers !== undefined && parts.answers.length !== parts.rows.length)
    fail(`answers are given for ${parts.answers.length} rows, the table has ${parts.rows.length}`);
  if (parts.rowsBeside !== undefined && parts.rowsBeside.length !== parts.rows.length)
    fail(`rowsBeside speaks of ${parts.rowsBeside.length} rows, the table has ${parts.rows.length}`);
  if (parts.sources !== undefined && parts.sources.length !== parts.rows.length)
    fail(`sources speak of ${parts.sources.length} rows, the table has ${parts.rows.length}`);
  const built: Table = {
    kind: 'table',
    caption: parts.caption,
    columns: parts.columns,
    rows: parts.rows,
    notes: parts.notes ?? [],
    ...(parts.rowGroups && { rowGroups: parts.rowGroups }),
    ...(parts.footnotes && { footnotes: parts.footnotes }),
    ...(parts.sources && { sources: parts.sources }),
    ...(parts.answers?.some((answer) => answer !== undefined) && { answers: parts.answers }),
    ...(parts.beside && { beside: parts.beside }),
    ...(parts.rowsBeside?.some((beside) => beside !== undefined) && { rowsBeside: parts.rowsBeside }),
  };
  const mismatch = checkFootnotes(built);
  if (mismatch !== undefined) fail(mismatch);
  return built;
}

/** The columns a page shows, or those a file holds. */
export function columnsFor(source: Table, place: 'page' | 'file'): readonly TableColumn[] {
  return source.columns.filter((column) => {
    const shownIn = column.shownIn ?? 'everywhere';
    return shownIn === 'everywhere' || shownIn === place;
  });
}

/** What a cell says, without its footnotes. */
export function cellValue(cell: TableCell): CellValue {
  return typeof cell === 'object' ? cell.text : cell;
}

/** Keys of the footnotes of a cell. */
export function cellNotes(cell: TableCell): readonly string[] {
  return typeof cell === 'object' ? cell.notes : [];
}

/** A cell as people read it, without marks. Line breaks become spaces; a no-break space stays one. */
export function cellText(cell: TableCell): string {
  return withoutAnswerMarks(markedCellText(cell));
}

/** The same with the marks of the answers it prints, for writers that have a place for them. */
export function markedCellText(cell: TableCell): string {
  const value = cellValue(cell);
  if (value === undefined) return '';
  return String(value)
    .replace(/[ \t\r\n\v\f\u2028\u2029]+/g, ' ')
    .trim();
}

/** A value that a paper may not have reported, ready for a cell: the words stay words. */
export function reportedCell(value: Reported<string | number>): CellValue {
  return isReported(value) ? value : 'not reported';
}

/** The row groups of a table with the rows under each; a table without groups is one group without a heading. */
export function groupedRows(source: Table): readonly {
  readonly group: RowGroup | undefined;
  readonly rows: readonly { readonly row: TableRow; readonly at: number }[];
}[] {
  const placed = source.rows.map((row, at) => ({ row, at }));
  if (source.rowGroups === undefined) return [{ group: undefined, rows: placed }];
  let from = 0;
  return source.rowGroups.map((group) => {
    const rows = placed.slice(from, from + group.rows);
    from += group.rows;
    return { group, rows };
  });
}

/** Neighbouring columns that share a heading; a column without a group stands alone. */
export function columnSpans(
  columns: readonly TableColumn[],
): readonly { readonly group: string | undefined; readonly columns: readonly TableColumn[] }[] {
  const spans: { group: string | undefined; columns: TableColumn[] }[] = [];
  for (const column of columns) {
    const last = spans.at(-1);
    if (last !== undefined && column.group !== undefined && last.group === column.group)
      last.columns.push(column);
    else spans.push({ group: column.group, columns: [column] });
  }
  return spans;
}

/** A column's heading where one line must do: with its group in front. */
export function fullHeading(column: TableColumn): string {
  return column.group === undefined ? column.heading : `${column.group}: ${column.heading}`;
}

function groupSetApart(columns: readonly TableColumn[]): string | undefined {
  const seen = new Set<string>();
  for (const { group } of columnSpans(columns)) {
    if (group === undefined) continue;
    if (seen.has(group)) return group;
    seen.add(group);
  }
  return undefined;
}
