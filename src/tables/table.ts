import { isReported, type Reported } from '../extraction/reported.ts';

/** Where a column is shown: people read one interval, a spreadsheet wants its two limits apart. */
export const columnPlaces = ['everywhere', 'page', 'file'] as const;
export type ColumnPlace = (typeof columnPlaces)[number];

export interface TableColumn {
  readonly key: string;
  readonly heading: string;
  readonly align?: 'left' | 'right';
  /** `page` hides the column in CSV, `file` shows it in CSV only; default `everywhere`. */
  readonly shownIn?: ColumnPlace;
}

/** One cell: text as printed, a number, or undefined for a cell that has no answer. */
export type TableCell = string | number | undefined;
export type TableRow = Readonly<Record<string, TableCell>>;

/** The one table object that text, Markdown, HTML and CSV are written from. */
export interface Table {
  readonly kind: 'table';
  readonly caption: string;
  /** The first column names the row. */
  readonly columns: readonly TableColumn[];
  readonly rows: readonly TableRow[];
  readonly notes: readonly string[];
}

/**
 * Builds a table and checks that every row speaks of the columns it has.
 *
 * @param parts caption, columns (the first names the row), rows by column key, and notes printed below
 * @throws when there is no column, a key is used twice, a row has a key no column has, or a cell is
 *   NaN or infinite
 * @example
 * table({ caption: 'Counts', columns: [{ key: 'site', heading: 'Site' }], rows: [{ site: 'Tenotomy' }] })
 */
export function table(parts: {
  readonly caption: string;
  readonly columns: readonly TableColumn[];
  readonly rows: readonly TableRow[];
  readonly notes?: readonly string[];
}): Table {
  const keys = new Set(parts.columns.map((column) => column.key));
  if (keys.size === 0) throw new RangeError(`table "${parts.caption}": needs at least one column`);
  if (keys.size < parts.columns.length) {
    throw new RangeError(`table "${parts.caption}": two columns share a key`);
  }
  for (const row of parts.rows) {
    for (const [key, cell] of Object.entries(row)) {
      if (!keys.has(key)) {
        throw new RangeError(
          `table "${parts.caption}": a row has "${key}", the columns are ${[...keys].join(', ')}`,
        );
      }
      if (typeof cell === 'number' && !Number.isFinite(cell)) {
        throw new RangeError(`table "${parts.caption}": "${key}" is ${cell}; leave it out instead`);
      }
    }
  }
  return {
    kind: 'table',
    caption: parts.caption,
    columns: parts.columns,
    rows: parts.rows,
    notes: parts.notes ?? [],
  };
}

/** The columns a page shows, or those a file holds. */
export function columnsFor(source: Table, place: 'page' | 'file'): readonly TableColumn[] {
  return source.columns.filter((column) => {
    const shownIn = column.shownIn ?? 'everywhere';
    return shownIn === 'everywhere' || shownIn === place;
  });
}

/** A cell as people read it. Line breaks inside a cell become spaces; a no-break space stays one. */
export function cellText(cell: TableCell): string {
  if (cell === undefined) return '';
  return String(cell)
    .replace(/[ \t\r\n\v\f\u2028\u2029]+/g, ' ')
    .trim();
}

/** A value that a paper may not have reported, ready for a cell: the words stay words. */
export function reportedCell(value: Reported<string | number>): TableCell {
  return isReported(value) ? value : 'not reported';
}
