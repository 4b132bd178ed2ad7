import { checkDuplicates } from '../checks/checkDuplicates.ts';
import type { PlacedSheets } from '../checks/placedSheets.ts';
import { type Problem, sortProblems } from '../problem.ts';
import type { Protocol } from '../protocol.ts';
import { readProtocol } from '../readProtocol.ts';
import type { PlacedRow } from '../readRow.ts';
import { readSheet } from '../readSheet.ts';
import type { RowOf } from '../review.ts';
import { type SheetName, sheetNames, sheets } from '../sheets/sheets.ts';

/** Sheets that two people fill in from the papers, each without the other. */
export const extractedSheets = ['studies', 'arms', 'events', 'scores', 'judgements'] as const;
export type ExtractedSheet = (typeof extractedSheets)[number];

/** What one person typed, cell by cell, before anybody compared it. */
export interface Extraction {
  /** Folder or initials, for sentences. */
  readonly name: string;
  readonly protocol: Protocol;
  /** protocol.json as it stands. */
  readonly protocolText: string | Uint8Array;
  readonly sheets: { readonly [Name in ExtractedSheet]: readonly PlacedRow<RowOf<Name>>[] };
  /** Sheets whose file is there. */
  readonly present: readonly ExtractedSheet[];
}

/** An extraction, or the reasons there is none. */
export interface ExtractionReading {
  readonly extraction: Extraction | undefined;
  readonly problems: readonly Problem[];
}

/**
 * What did one person extract?
 *
 * Reads the sheets cell by cell. Checks across sheets are left to {@link readReview} and the audit, so that a slip which
 * contradicts another cell can still be compared with what the other person typed; two rows with one key cannot.
 *
 * @param name folder or initials of the person
 * @param files contents by file name
 * @example
 * readExtraction('first', { 'protocol.json': protocol, 'studies.csv': studies }).extraction
 */
export function readExtraction(
  name: string,
  files: Readonly<Record<string, string | Uint8Array>>,
): ExtractionReading {
  const problems: Problem[] = [];
  const contentOf = (file: string): string | Uint8Array | undefined =>
    Object.hasOwn(files, file) ? files[file] : undefined;
  const protocolText = contentOf('protocol.json');
  const { protocol, problems: ofProtocol } =
    protocolText === undefined ? { protocol: undefined, problems: [] } : readProtocol(protocolText);
  problems.push(...ofProtocol);
  if (protocolText === undefined)
    problems.push(absent('protocol.json', 'Copy the protocol both worked from.'));
  const rows: Record<string, readonly PlacedRow<unknown>[]> = {};
  for (const sheet of sheetNames) rows[sheet] = [];
  const present: ExtractedSheet[] = [];
  for (const sheet of extractedSheets) {
    const content = contentOf(sheets[sheet].file);
    if (content === undefined) {
      if (sheets[sheet].required)
        problems.push(absent(sheets[sheet].file, 'Add the sheet this person filled in.'));
      continue;
    }
    present.push(sheet);
    const reading = readSheet(sheet, content);
    problems.push(...reading.problems);
    rows[sheet] = reading.rows;
  }
  const placed = rows as unknown as Extraction['sheets'];
  problems.push(...checkDuplicates(rows as unknown as PlacedSheets));
  const sorted = sortProblems(problems);
  if (
    protocol === undefined ||
    protocolText === undefined ||
    sorted.some(({ severity }) => severity === 'error')
  ) {
    return { extraction: undefined, problems: sorted };
  }
  return { extraction: { name, protocol, protocolText, sheets: placed, present }, problems: sorted };
}

const absent = (file: string, cure: string): Problem => ({
  severity: 'error',
  file,
  line: 1,
  column: 1,
  value: '',
  expected: 'the file in the folder',
  cure,
});

/** Name of a sheet by its file. */
export const sheetOfFile = (file: string): SheetName | undefined =>
  sheetNames.find((name) => sheets[name].file === file);
