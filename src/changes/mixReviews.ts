import type { ReviewChanges } from '../extraction/changes/reviewChanges.ts';
import { type AnyRow, isFilled, rowsOfSheet } from '../extraction/changes/sheetCells.ts';
import type { Review } from '../extraction/review.ts';
import { sheetNames } from '../extraction/sheets/sheets.ts';

/** Ways in which data change, in the order they are told. */
export const dataCauses = ['studies added', 'studies removed', 'cells corrected'] as const;
export type DataCause = (typeof dataCauses)[number];
export const changeCauses = [...dataCauses, 'rules', 'software'] as const;
export type ChangeCause = (typeof changeCauses)[number];

/** Causes that two versions give any reason to look at. */
export function causesAtWork(changes: ReviewChanges): readonly ChangeCause[] {
  // Selection counts, recommendations and the like move no number.
  const ofStudies = [...changes.cells, ...changes.rowsAdded, ...changes.rowsRemoved].filter(
    ({ study }) => study !== undefined,
  );
  const corrected = ofStudies.length + changes.renamed.length;
  const atWork: Readonly<Record<Exclude<ChangeCause, 'software'>, boolean>> = {
    'studies added': changes.studiesAdded.length > 0,
    'studies removed': changes.studiesRemoved.length > 0,
    'cells corrected': corrected > 0,
    rules: changes.rules.some(({ kind }) => kind === 'rule'),
  };
  return changeCauses.filter((cause) => cause !== 'software' && atWork[cause]);
}

/**
 * The review as it would stand had only these changes been made.
 *
 * Rows of studies that both versions have come from the later one when cells were corrected; the rows of new studies come
 * in and those of dropped studies go out as a whole; the protocol is the later one when the rules were changed. With all
 * causes at work it is the later review itself, with none the earlier one.
 */
export function mixReviews(
  before: Review,
  after: Review,
  changes: ReviewChanges,
  applied: ReadonlySet<ChangeCause>,
): Review {
  const atWork = causesAtWork(changes);
  const protocol = applied.has('rules') ? after.protocol : before.protocol;
  const data = atWork.filter((cause) => cause !== 'rules');
  // The ends are the versions themselves, so that no order of rows lies between a result and its split.
  if (data.every((cause) => applied.has(cause))) return { ...after, protocol };
  if (data.every((cause) => !applied.has(cause))) return { ...before, protocol };
  const corrected = applied.has('cells corrected');
  const shared = new Set(changes.studiesOfBoth.map((pair) => (corrected ? pair.after : pair.before)));
  const removed = new Set(changes.studiesRemoved.map(({ study }) => study));
  const added = new Set(changes.studiesAdded.map(({ study }) => study));
  const rows = Object.fromEntries(
    sheetNames.map((sheet) => {
      const [old, now] = [rowsOfSheet(before, sheet), rowsOfSheet(after, sheet)];
      const of = (list: readonly AnyRow[], names: ReadonlySet<string>): readonly AnyRow[] =>
        list.filter((row) => !isFilled(row.study) || names.has(String(row.study)));
      return [
        sheet,
        [
          ...of(corrected ? now : old, shared),
          ...(applied.has('studies removed') ? [] : old.filter((row) => removed.has(String(row.study)))),
          ...(applied.has('studies added') ? now.filter((row) => added.has(String(row.study))) : []),
        ],
      ];
    }),
  );
  return { ...(corrected ? after : before), ...rows, protocol };
}
