import { type SheetName, sheets } from '../sheets/sheets.ts';
import type { MatchedNames } from './matchStudies.ts';
import { type AnyRow, cellText, columnsOf, isFilled } from './sheetCells.ts';

/** Rows of one sheet, paired across versions. */
export interface MatchedRows {
  readonly pairs: readonly { readonly before: AnyRow; readonly after: AnyRow }[];
  readonly removed: readonly AnyRow[];
  readonly added: readonly AnyRow[];
}

/** A row may differ in this share of its filled cells, at least in one, and still be the same row. */
const mostDiffering = 0.3;
/** Beyond this many comparisons a sheet was replaced, not edited. */
const mostComparisons = 40_000;

/**
 * Which rows of a sheet are the same in both versions?
 *
 * First those with equal keys, studies and arms by their later names. Of the rest, the two that differ in the fewest
 * cells are one row whose key was corrected, as long as no more than three cells in ten differ; rows of different studies
 * only when nothing but the study differs.
 */
export function matchRows(
  sheet: SheetName,
  before: readonly AnyRow[],
  after: readonly AnyRow[],
  names: MatchedNames,
): MatchedRows {
  const columns = columnsOf(sheet);
  const keyNames = (sheets[sheet].key as readonly string[]).map(
    (heading) => columns.find((column) => column.heading === heading)?.name ?? heading,
  );
  const laterStudy = new Map(names.studies.map((pair) => [pair.before, pair.after]));
  const later = (row: AnyRow): AnyRow => {
    if (row.study === undefined) return row;
    const study = laterStudy.get(String(row.study)) ?? row.study;
    const arm = names.arms.get(String(study))?.find((pair) => pair.before === row.arm)?.after ?? row.arm;
    return arm === undefined ? { ...row, study } : { ...row, study, arm };
  };
  const keyOf = (row: AnyRow): string =>
    JSON.stringify(keyNames.map((name) => cellText(row[name]).toLowerCase()));
  const waiting = new Map(after.map((row) => [keyOf(row), row]));
  const pairs: { before: AnyRow; after: AnyRow }[] = [];
  const removed: AnyRow[] = [];
  for (const row of before) {
    const renamed = later(row);
    const match = waiting.get(keyOf(renamed));
    if (match === undefined) removed.push(renamed);
    else {
      pairs.push({ before: renamed, after: match });
      waiting.delete(keyOf(renamed));
    }
  }
  let added = [...waiting.values()];
  let left = removed;
  if (left.length * added.length <= mostComparisons) {
    const candidates: { one: AnyRow; other: AnyRow; differing: number }[] = [];
    for (const one of left) {
      for (const other of added) {
        const differing = columns.filter(({ name }) => cellText(one[name]) !== cellText(other[name])).length;
        const filled = columns.filter(({ name }) => isFilled(one[name]) || isFilled(other[name])).length;
        const otherStudy = one.study !== other.study;
        if (differing <= (otherStudy ? 1 : Math.max(1, Math.floor(mostDiffering * filled))))
          candidates.push({ one, other, differing });
      }
    }
    candidates.sort(
      (a, b) =>
        a.differing - b.differing || a.one.row.line - b.one.row.line || a.other.row.line - b.other.row.line,
    );
    const taken = new Set<AnyRow>();
    for (const { one, other } of candidates) {
      if (taken.has(one) || taken.has(other)) continue;
      taken.add(one).add(other);
      pairs.push({ before: one, after: other });
    }
    left = left.filter((row) => !taken.has(row));
    added = added.filter((row) => !taken.has(row));
  }
  return { pairs, removed: left, added };
}
