import { stringify } from 'csv-stringify/browser/esm/sync';
import { shieldFormula } from '../formulaText.ts';
import { sheets } from '../sheets/sheets.ts';
import type { Consensus, DecidedDisagreement } from './applyDecisions.ts';
import { decisionsSheet } from './decisionsSheet.ts';
import { wholeRow } from './disagreement.ts';
import type { MatchedRow } from './matchRows.ts';
import { type ExtractedSheet, extractedSheets } from './readExtraction.ts';

/**
 * The consensus of two extractors as files of a review, with a decisions.csv of who decided what.
 *
 * Where the two agree the first one's typing stands, and so do its locator, notes and extractor; where the first left a
 * blank, the second's. A row only the second has keeps the second's. Cells a spreadsheet would run get an apostrophe in front, which reading takes off again.
 * protocol.json is the first one's. Sheets neither person has are not among the files.
 *
 * @example
 * readReview(consensusFiles(consensus)).review
 */
export function consensusFiles(consensus: Consensus): Readonly<Record<string, string | Uint8Array>> {
  const { comparison, decided } = consensus;
  const bySite = new Map(
    decided.map((each) => [
      cellId(each.disagreement.sheet, each.disagreement.rowKey, each.disagreement.column),
      each,
    ]),
  );
  const files: Record<string, string | Uint8Array> = { 'protocol.json': comparison.first.protocolText };
  const present = [...comparison.first.present, ...comparison.second.present];
  for (const sheet of extractedSheets) {
    if (!present.includes(sheet)) continue;
    const headings = Object.keys(sheets[sheet].columns.shape);
    const rows = comparison.rows
      .filter((row) => row.sheet === sheet)
      .flatMap((row) => consensusRow(row, headings, bySite));
    files[sheets[sheet].file] = stringify([...rows], { header: true, columns: headings });
  }
  files[decisionsSheet.file] = decisionsFile(decided);
  return files;
}

const cellId = (sheet: ExtractedSheet, rowKey: string, column: string): string =>
  JSON.stringify([sheet, rowKey, column]);

function consensusRow(
  { sheet, key, first, second }: MatchedRow,
  headings: readonly string[],
  decided: ReadonlyMap<string, DecidedDisagreement>,
): readonly (readonly string[])[] {
  if (decided.get(cellId(sheet, key, wholeRow))?.decidedText === 'absent') return [];
  const cells = headings.map((heading) => {
    const decision = decided.get(cellId(sheet, key, heading));
    if (decision !== undefined) return decision.decidedText;
    const mine = first?.text(heading) ?? '';
    return mine === '' ? (second?.text(heading) ?? '') : mine;
  });
  return [cells.map(shieldFormula)];
}

function decisionsFile(decided: readonly DecidedDisagreement[]): string {
  const headings = Object.keys(decisionsSheet.columns.shape);
  const rows = decided.map((each): Readonly<Record<string, string>> => {
    const { file, rowKey, column, first, second, difference, rank, hints } = each.disagreement;
    const locator = (row: typeof first.row): string => String(row?.locator ?? '');
    return {
      file,
      row: rowKey,
      column,
      first_value: first.text,
      second_value: second.text,
      taken_from: each.takenFrom,
      decided_value: each.decidedText,
      decided_by: each.decidedBy,
      date: each.date,
      reason: each.reason,
      first_line: String(first.row?.line ?? ''),
      second_line: String(second.row?.line ?? ''),
      first_locator: locator(first.row),
      second_locator: locator(second.row),
      difference,
      group: rank,
      hint: hints.join(' '),
    };
  });
  return stringify(
    rows.map((row) => headings.map((heading) => shieldFormula(row[heading] ?? ''))),
    { header: true, columns: headings },
  );
}
