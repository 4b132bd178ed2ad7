import { cellNotes, columnsFor, groupedRows, type Table } from './table.ts';

/** A footnote with the letter it is printed with. */
export interface MarkedFootnote {
  readonly mark: string;
  readonly text: string;
}

/** The letters of a table's footnotes by key, and the footnotes in the order of their letters. */
export interface FootnoteMarks {
  /** The letters of some keys, in alphabetical order, parted by commas; empty for no key. */
  readonly of: (keys: readonly string[] | undefined) => string;
  readonly listed: readonly MarkedFootnote[];
}

/**
 * Gives each footnote its letter in the order in which a reader meets it: headings first, then row by row from left
 * to right.
 */
export function footnoteMarks(source: Table): FootnoteMarks {
  const texts = new Map((source.footnotes ?? []).map(({ key, text }) => [key, text]));
  const order = [...new Set(notesInOrder(source))];
  const marks = new Map(order.map((key, at) => [key, letters(at)]));
  return {
    of: (keys) =>
      (keys ?? [])
        .flatMap((key) => marks.get(key) ?? [])
        .sort((a, b) => a.length - b.length || (a < b ? -1 : 1))
        .join(','),
    listed: order.map((key, at) => ({ mark: letters(at), text: texts.get(key) ?? '' })),
  };
}

/** What is wrong between the marks of a table and its footnotes, or undefined. */
export function checkFootnotes(source: Table): string | undefined {
  const explained = (source.footnotes ?? []).map(({ key }) => key);
  const known = new Set(explained);
  if (known.size < explained.length) return 'two footnotes share a key';
  const used = new Set(notesInOrder(source));
  for (const key of used) if (!known.has(key)) return `no footnote explains "${key}"`;
  for (const key of known) if (!used.has(key)) return `no cell uses the footnote "${key}"`;
  return undefined;
}

/** Footnote keys as a reader of the page meets them. */
function notesInOrder(source: Table): readonly string[] {
  const columns = columnsFor(source, 'page');
  return [
    ...columns.flatMap(({ notes }) => notes ?? []),
    ...groupedRows(source).flatMap(({ group, rows }) => [
      ...(group?.notes ?? []),
      ...rows.flatMap(({ row }) => columns.flatMap(({ key }) => cellNotes(row[key]))),
    ]),
  ];
}

/** a to z, then aa, ab: letters belong to no program and cannot be taken for powers. */
function letters(at: number): string {
  const last = String.fromCharCode(97 + (at % 26));
  return at < 26 ? last : letters(Math.floor(at / 26) - 1) + last;
}
