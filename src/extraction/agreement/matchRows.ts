import { distance } from 'fastest-levenshtein';
import { camelCase } from '../camelCase.ts';
import type { PlacedRow } from '../readRow.ts';
import { isReported } from '../reported.ts';
import type { RowOf } from '../review.ts';
import { sheets } from '../sheets/sheets.ts';
import { type CellValue, compareCells, foldText } from './compareCells.ts';
import type { ExtractedSheet, Extraction } from './readExtraction.ts';

/** A row of any of the sheets that two people fill in. */
export type ExtractedRow = PlacedRow<RowOf<ExtractedSheet>>;

/** A row of one person, that of the other, or both. */
export interface MatchedRow {
  readonly sheet: ExtractedSheet;
  /** The key columns as typed, for a person: `abel-2010 | low | groove-pain`. */
  readonly key: string;
  readonly first: ExtractedRow | undefined;
  readonly second: ExtractedRow | undefined;
  /** For a row only one has: the other's row that is probably meant. */
  readonly likelySame: { readonly key: string; readonly row: ExtractedRow } | undefined;
}

export const valueAt = (row: ExtractedRow, heading: string): CellValue =>
  (row.values as unknown as Readonly<Record<string, CellValue>>)[camelCase(heading)] as CellValue;

const keyParts = (sheet: ExtractedSheet, row: ExtractedRow): readonly string[] =>
  sheets[sheet].key.map((heading) => String(valueAt(row, heading)));

/** The key of a row as the work list shows it; a bar within a name is marked with a backslash. */
export const rowKey = (sheet: ExtractedSheet, row: ExtractedRow): string =>
  keyParts(sheet, row)
    .map((part) => part.replaceAll('|', '\\|').replace(/\s+/g, ' '))
    .join(' | ');

const foldedKey = (sheet: ExtractedSheet, row: ExtractedRow): string =>
  JSON.stringify(keyParts(sheet, row).map(foldText));

/**
 * Which rows of two extractors are the same row of the paper?
 *
 * Rows with the same key columns, case and blanks aside. Of the rest, those of one study whose keys differ in one column
 * and whose other cells mostly agree are offered as probably the same row; they stay apart until a person decides.
 * In the order of the first extractor; rows only the second has come after the row that precedes them there.
 */
export function matchRows(
  sheet: ExtractedSheet,
  first: Extraction,
  second: Extraction,
): readonly MatchedRow[] {
  const mine = first.sheets[sheet] as readonly ExtractedRow[];
  const theirs = second.sheets[sheet] as readonly ExtractedRow[];
  const byKey = new Map(theirs.map((row) => [foldedKey(sheet, row), row]));
  const mineByKey = new Map(mine.map((row) => [foldedKey(sheet, row), row]));
  const onlyFirst = mine.filter((row) => !byKey.has(foldedKey(sheet, row)));
  const onlySecond = theirs.filter((row) => !mineByKey.has(foldedKey(sheet, row)));
  const likely = likelyPairs(sheet, onlyFirst, onlySecond);
  const other = (row: ExtractedRow): MatchedRow['likelySame'] => {
    const found = likely.get(row);
    return found === undefined ? undefined : { key: rowKey(sheet, found), row: found };
  };
  const matched: MatchedRow[] = mine.map((row) => {
    const partner = byKey.get(foldedKey(sheet, row));
    const likelySame = partner === undefined ? other(row) : undefined;
    return { sheet, key: rowKey(sheet, row), first: row, second: partner, likelySame };
  });
  let last: ExtractedRow | undefined;
  for (const row of theirs) {
    if (!mineByKey.has(foldedKey(sheet, row))) {
      const at = last === undefined ? -1 : matched.findIndex((each) => each.second === last);
      matched.splice(at + 1, 0, {
        sheet,
        key: rowKey(sheet, row),
        first: undefined,
        second: row,
        likelySame: other(row),
      });
    }
    last = row;
  }
  return matched;
}

/** Share of the other cells that must agree before two keys are taken for one (a choice of ours). */
const mostly = 0.5;

function likelyPairs(
  sheet: ExtractedSheet,
  onlyFirst: readonly ExtractedRow[],
  onlySecond: readonly ExtractedRow[],
): ReadonlyMap<ExtractedRow, ExtractedRow> {
  const candidates = onlyFirst.flatMap((one) =>
    onlySecond.flatMap((two) => {
      const likeness = rowLikeness(sheet, one, two);
      return likeness === undefined ? [] : [{ one, two, likeness }];
    }),
  );
  candidates.sort((a, b) => b.likeness - a.likeness);
  const pairs = new Map<ExtractedRow, ExtractedRow>();
  for (const { one, two } of candidates) {
    if (pairs.has(one) || pairs.has(two)) continue;
    pairs.set(one, two).set(two, one);
  }
  return pairs;
}

function rowLikeness(sheet: ExtractedSheet, one: ExtractedRow, two: ExtractedRow): number | undefined {
  const { key } = sheets[sheet];
  const [a, b] = [keyParts(sheet, one).map(foldText), keyParts(sheet, two).map(foldText)];
  const differing = a.flatMap((part, at) => (part === b[at] ? [] : [at]));
  const [only, more] = differing;
  if (only === undefined || more !== undefined) return undefined;
  // A name of its own (a study) must at least look alike; other key columns may differ in any way.
  const [here = '', there = ''] = [a[only], b[only]];
  const close = 1 - distance(here, there) / Math.max(1, here.length, there.length);
  if (key.length === 1 && close < 0.6) return undefined;
  const headings = Object.keys(sheets[sheet].columns.shape).filter(
    (heading) => !(key as readonly string[]).includes(heading) && !provenanceColumns.includes(heading),
  );
  let told = 0;
  let equal = 0;
  for (const heading of headings) {
    const [x, y] = [valueAt(one, heading), valueAt(two, heading)];
    if (!isReported(x) || !isReported(y)) continue;
    told += 1;
    if (compareCells(sheet, heading, x, y) === undefined) equal += 1;
  }
  const share = told === 0 ? 0 : equal / told;
  return share >= mostly ? share + close / 100 : undefined;
}

/** Columns that say where and by whom a row was read; two people need not agree on them. */
export const provenanceColumns: readonly string[] = ['locator', 'notes', 'extractor'];
