import { reviewFingerprint } from '../provenance/fingerprint.ts';
import type { Review, StudyRow } from '../review.ts';
import { type SheetName, sheetNames, sheets } from '../sheets/sheets.ts';
import { matchRows } from './matchRows.ts';
import { matchStudies } from './matchStudies.ts';
import type {
  CellChange,
  LinePlace,
  Renamed,
  ReviewChanges,
  RowChange,
  StudyChange,
  VersionFacts,
} from './reviewChanges.ts';
import type { ReviewVersion } from './reviewVersion.ts';
import { ruleChanges } from './ruleChanges.ts';
import { type AnyRow, cellText, columnsOf, isFilled, rowsOfSheet } from './sheetCells.ts';

/**
 * What differs between two versions of a review: studies in and out, rows, cells and rules?
 *
 * Studies, arms and rows are followed by their keys, and under a new name or a corrected key where their other cells say
 * that they are the same (`matchStudies`, `matchRows`). A cell that was `not reported` and now has a value
 * is told apart from a value that was corrected. Order of rows and columns, quoting and the like are no change.
 *
 * @example
 * compareReviews(lastYear, thisYear).cells.map(({ file, placeAfter }) => `${file}:${placeAfter.line}`)
 */
export function compareReviews(before: ReviewVersion, after: ReviewVersion): ReviewChanges {
  const names = matchStudies(before.review, after.review);
  const studiesBefore = new Set(names.studies.map((pair) => pair.before));
  const studiesAfter = new Set(names.studies.map((pair) => pair.after));
  const cells: CellChange[] = [];
  const rowsAdded: RowChange[] = [];
  const rowsRemoved: RowChange[] = [];
  for (const sheet of sheetNames) {
    const ofBoth = (row: AnyRow, known: ReadonlySet<string>): boolean =>
      !isFilled(row.study) || known.has(String(row.study));
    const { pairs, added, removed } = matchRows(
      sheet,
      rowsOfSheet(before.review, sheet).filter((row) => ofBoth(row, studiesBefore)),
      rowsOfSheet(after.review, sheet).filter((row) => ofBoth(row, studiesAfter)),
      names,
    );
    for (const pair of pairs) cells.push(...cellChanges(sheet, pair.before, pair.after));
    rowsAdded.push(...added.map((row) => rowChange(sheet, row)));
    rowsRemoved.push(...removed.map((row) => rowChange(sheet, row)));
  }
  const renamed: Renamed[] = names.studies
    .filter((pair) => pair.before !== pair.after)
    .map((pair) => ({ ...pair, what: 'study', study: pair.after }));
  for (const [study, arms] of names.arms)
    for (const pair of arms) if (pair.before !== pair.after) renamed.push({ ...pair, what: 'arm', study });
  const studiesAdded = studyChanges(after.review, studiesAfter);
  const studiesRemoved = studyChanges(before.review, studiesBefore);
  const rules = ruleChanges(before.files['protocol.json'], after.files['protocol.json']);
  const facts = { before: versionFacts(before), after: versionFacts(after) };
  const lists = [studiesAdded, studiesRemoved, renamed, rowsAdded, rowsRemoved, cells, rules];
  return {
    kind: 'review-changes',
    ...facts,
    sameFiles:
      facts.before.fingerprint.data === facts.after.fingerprint.data &&
      facts.before.fingerprint.rules === facts.after.fingerprint.rules,
    nothingChanged: lists.every((list) => list.length === 0),
    studiesAdded,
    studiesRemoved,
    renamed,
    rowsAdded,
    rowsRemoved,
    cells: cells.sort(byPlace),
    rules,
    studiesOfBoth: names.studies,
  };
}

const sheetOrder = (sheet: SheetName): number => sheetNames.indexOf(sheet);
const byPlace = (a: CellChange, b: CellChange): number =>
  sheetOrder(a.sheet) - sheetOrder(b.sheet) || a.placeAfter.line - b.placeAfter.line;

function versionFacts({ name, review, files }: ReviewVersion): VersionFacts {
  return {
    name,
    title: review.protocol.title,
    lastSearch: review.protocol.lastSearch,
    studies: review.studies.length,
    arms: review.arms.length,
    fingerprint: reviewFingerprint(files),
  };
}

const placeOf = ({ row }: { readonly row: AnyRow['row'] }): LinePlace => ({
  line: row.line,
  locator: row.locator,
});

/** The cells that tell one row of a sheet from another, in words. */
function rowName(sheet: SheetName, row: AnyRow): string {
  const key: readonly string[] = sheets[sheet].key;
  const words = columnsOf(sheet)
    .filter(({ heading, name }) => key.includes(heading) && isFilled(row[name]))
    .map(({ heading, name }) =>
      heading === 'follow_up_months' ? `${cellText(row[name])} months` : cellText(row[name]),
    );
  return words.join(', ');
}

function rowChange(sheet: SheetName, row: AnyRow): RowChange {
  const study = row.study === undefined ? undefined : String(row.study);
  return { sheet, file: sheets[sheet].file, rowName: rowName(sheet, row), study, place: placeOf(row) };
}

/** The row before carries study and arm by their later names, so that a rename is said once and not in every row. */
function cellChanges(sheet: SheetName, before: AnyRow, after: AnyRow): readonly CellChange[] {
  return columnsOf(sheet).flatMap(({ heading, name }) => {
    const [old, now] = [cellText(before[name]), cellText(after[name])];
    if (old === now) return [];
    const change: CellChange = {
      kind: !isFilled(before[name])
        ? 'now reported'
        : !isFilled(after[name])
          ? 'no longer reported'
          : 'corrected',
      sheet,
      file: sheets[sheet].file,
      rowName: rowName(sheet, after),
      study: after.study === undefined ? undefined : String(after.study),
      heading,
      before: old,
      after: now,
      placeBefore: placeOf(before),
      placeAfter: placeOf(after),
    };
    return [change];
  });
}

function studyChanges(review: Review, known: ReadonlySet<string>): readonly StudyChange[] {
  const rowsAbout = ({ study }: StudyRow): number =>
    sheetNames.reduce(
      (sum, sheet) => sum + rowsOfSheet(review, sheet).filter((row) => row.study === study).length,
      0,
    );
  return review.studies
    .filter(({ study }) => !known.has(study))
    .map((study) => ({
      study: study.study,
      label: study.label,
      year: study.year,
      design: study.design,
      arms: review.arms.filter((arm) => arm.study === study.study).length,
      rows: rowsAbout(study),
      place: { ...placeOf(study), file: study.row.file },
    }));
}
