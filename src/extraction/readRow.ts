import type { z } from 'zod';
import { camelCase } from './camelCase.ts';
import { cellProblem } from './cellProblem.ts';
import type { TextCell, TextRow } from './delimitedText.ts';
import { unshieldFormula } from './formulaText.ts';
import { trimCell } from './missingText.ts';
import type { CellFault } from './printedNumber.ts';
import type { Problem, Severity } from './problem.ts';
import { notReported, type Reported } from './reported.ts';

/** A row that passed its schema, with the place of every cell for later checks to point at. */
export interface PlacedRow<Row> {
  readonly values: Row;
  /** A problem at one of the row's cells. */
  problem(severity: Severity, heading: string, expected: string, cure: string): Problem;
  /** The cell as typed, without the blanks around it; empty where the sheet lacks the column. */
  text(heading: string): string;
}

/** A column of a sheet at hand: its heading, its place in the row, and the name code uses. */
export interface PlacedColumn {
  readonly heading: string;
  /** -1 where the sheet does not have the column. */
  readonly index: number;
  readonly name: string;
}

/** Every column the schema knows, with its place in this sheet. */
export function placeColumns(
  columns: z.ZodObject,
  places: ReadonlyMap<string, number>,
): readonly PlacedColumn[] {
  return Object.keys(columns.shape).map((heading) => ({
    heading,
    index: places.get(heading) ?? -1,
    name: camelCase(heading),
  }));
}

/** Which values does the row hold? Undefined when a cell did not pass; why goes to `problems`. */
export function readRow<Row>(
  file: string,
  row: TextRow,
  placed: readonly PlacedColumn[],
  columns: z.ZodObject,
  problems: Problem[],
): PlacedRow<Row> | undefined {
  const cellOf = (heading: string): TextCell =>
    row.cells[placed.find((column) => column.heading === heading)?.index ?? -1] ?? {
      text: '',
      line: row.line,
      column: 1,
    };
  const problem: PlacedRow<Row>['problem'] = (severity, heading, expected, cure) =>
    cellProblem(file, cellOf(heading), severity, { heading, expected, cure });
  const raw: Record<string, string> = {};
  for (const { heading, index } of placed) {
    const text = unshieldFormula(row.cells[index]?.text ?? '');
    raw[heading] = text;
    if (text.includes('\ufffd')) {
      const cure = 'Characters were lost when the sheet was saved: retype them and save as "CSV UTF-8".';
      problems.push(problem('warning', heading, 'readable text', cure));
    }
  }
  const parsed = columns.safeParse(raw);
  if (!parsed.success) {
    for (const issue of parsed.error.issues) {
      const fault = (issue as { readonly params?: { readonly fault?: CellFault } }).params?.fault;
      const { expected, cure } = fault ?? { expected: issue.message, cure: 'See the codebook.' };
      problems.push(problem('error', String(issue.path[0] ?? ''), expected, cure));
    }
    return undefined;
  }
  const values: Record<string, unknown> = {};
  for (const { heading, name } of placed) {
    const value = parsed.data[heading];
    values[name] = value;
    if (typeof value === 'string' && /^[=@]/.test(value)) {
      const cure = 'If it is a formula, paste its value; if it is text, leave it: it is never run.';
      problems.push(problem('warning', heading, 'text rather than a formula', cure));
    }
  }
  const locator = (values.locator as Reported<string> | undefined) ?? notReported;
  values.row = { file, line: row.line, locator };
  return { values: values as Row, problem, text: (heading) => trimCell(raw[heading] ?? '') };
}
