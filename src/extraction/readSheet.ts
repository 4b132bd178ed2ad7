import type { z } from 'zod';
import { columnMeanings } from './columnMeaning.ts';
import { decodeText } from './decodeText.ts';
import { parseDelimitedText, type TextCell, type TextRow } from './delimitedText.ts';
import { detectDelimiter, plainHeading } from './headings.ts';
import { didYouMean } from './nearestName.ts';
import type { CellFault } from './printedNumber.ts';
import type { Problem, Severity } from './problem.ts';
import { notReported, type Reported } from './reported.ts';
import type { RowOf } from './review.ts';
import { type SheetName, sheets } from './sheets/sheets.ts';

/** A row that passed its schema, with the place of every cell for later checks to point at. */
export interface PlacedRow<Row> {
  readonly values: Row;
  /** A problem at one of the row's cells. */
  problem(severity: Severity, heading: string, expected: string, cure: string): Problem;
}

export interface SheetReading<Row> {
  readonly rows: readonly PlacedRow<Row>[];
  readonly problems: readonly Problem[];
}

/** Which rows does one file hold, and what is wrong with its headings and cells? */
export function readSheet<Name extends SheetName>(
  name: Name,
  content: string | Uint8Array,
): SheetReading<RowOf<Name>> {
  const { file, columns } = sheets[name];
  const shape: Readonly<Record<string, z.ZodType>> = columns.shape;
  const known = Object.keys(shape);
  const decoded = decodeText(file, content);
  if (decoded.text === undefined) return { rows: [], problems: [decoded.problem] };
  const detected = detectDelimiter(decoded.text, known);
  // The directive's line stays as a blank line, so that later lines keep their numbers.
  const text = detected.directive ? decoded.text.replace(/^[^\n]*/, '') : decoded.text;
  const parsed = parseDelimitedText(file, text, detected.delimiter);
  const problems: Problem[] = [...parsed.problems];
  const headingRow = parsed.rows[0];
  if (headingRow === undefined) {
    problems.push(
      atCell(file, { text: '', line: 1, column: 1 }, 'error', {
        expected: 'a row of headings',
        cure: `Copy the headings of template/${file}.`,
      }),
    );
    return { rows: [], problems };
  }
  const headings = readHeadings(file, headingRow, shape, problems);
  if (headings === undefined) return { rows: [], problems };
  const rows: PlacedRow<RowOf<Name>>[] = [];
  for (const textRow of parsed.rows.slice(1)) {
    if (!hasOneCellPerHeading(file, textRow, headingRow, problems)) continue;
    const row = readRow<RowOf<Name>>(file, textRow, headings, columns, problems);
    if (row !== undefined) rows.push(row);
  }
  return { rows, problems };
}

function atCell(
  file: string,
  cell: TextCell,
  severity: Severity,
  fault: CellFault & { readonly heading?: string },
): Problem {
  const { line, column } = cell;
  const heading = fault.heading === undefined ? {} : { heading: fault.heading };
  return {
    severity,
    file,
    line,
    column,
    ...heading,
    value: cell.text.trim(),
    expected: fault.expected,
    cure: fault.cure,
  };
}

/** Heading to position in the row; undefined when a required heading is missing. */
function readHeadings(
  file: string,
  row: TextRow,
  shape: Readonly<Record<string, z.ZodType>>,
  problems: Problem[],
): ReadonlyMap<string, number> | undefined {
  const places = new Map<string, number>();
  const known = Object.keys(shape);
  const unknown: TextCell[] = [];
  row.cells.forEach((cell, index) => {
    const heading = plainHeading(cell.text);
    if (heading === '') return;
    if (!Object.hasOwn(shape, heading)) {
      unknown.push(cell);
    } else if (places.has(heading)) {
      const cure = `Delete one of the two columns "${heading}", or rename it.`;
      problems.push(atCell(file, cell, 'error', { expected: 'each heading once', cure }));
    } else places.set(heading, index);
  });
  const absent = known.filter((heading) => !places.has(heading));
  for (const cell of unknown) {
    const cure = `${didYouMean(plainHeading(cell.text), absent)}Rename the column, or delete it; the codebook lists all headings.`;
    problems.push(atCell(file, cell, 'error', { expected: 'a heading of the codebook', cure }));
  }
  const needed = absent.filter(
    (heading) => columnMeanings.get(shape[heading] as z.ZodType)?.heading === 'required',
  );
  for (const heading of needed) {
    const cell = { text: '', line: row.line, column: 1 };
    const cure = `Add the column "${heading}"; its cells may say NR where the codebook allows a blank.`;
    problems.push(atCell(file, cell, 'error', { expected: `the heading "${heading}"`, cure }));
  }
  return needed.length > 0 ? undefined : places;
}

function hasOneCellPerHeading(file: string, row: TextRow, headings: TextRow, problems: Problem[]): boolean {
  const wanted = headings.cells.length;
  const lastHeading = headings.cells.findLastIndex((cell) => cell.text.trim() !== '');
  const beyond = row.cells.find((cell, index) => index > lastHeading && cell.text.trim() !== '');
  if (beyond !== undefined) {
    const cure =
      'Delete the cell, or put quotes around a cell that holds the separator (a decimal comma or a comma in a text).';
    problems.push(
      atCell(file, beyond, 'error', {
        expected: `nothing after the ${lastHeading + 1} headed columns`,
        cure,
      }),
    );
    return false;
  }
  if (row.cells.length <= lastHeading) {
    const last = row.cells.at(-1) as TextCell;
    const expected = `${wanted} cells in the row, not ${row.cells.length}`;
    const cure =
      'Add the missing separators, one before each blank cell; saving from a spreadsheet does it by itself.';
    problems.push(atCell(file, last, 'error', { expected, cure }));
    return false;
  }
  return true;
}

const camelCase = (heading: string): string =>
  heading.replace(/_([a-z0-9])/g, (_match, letter: string) => letter.toUpperCase());

function readRow<Row>(
  file: string,
  row: TextRow,
  headings: ReadonlyMap<string, number>,
  columns: z.ZodObject,
  problems: Problem[],
): PlacedRow<Row> | undefined {
  const cellOf = (heading: string): TextCell =>
    row.cells[headings.get(heading) ?? -1] ?? { text: '', line: row.line, column: 1 };
  const raw = Object.fromEntries(
    Object.keys(columns.shape).map((heading) => [heading, cellOf(heading).text]),
  );
  for (const [heading, text] of Object.entries(raw)) {
    if (text.includes('\ufffd')) {
      const cure = 'Characters were lost when the sheet was saved: retype them and save as "CSV UTF-8".';
      problems.push(atCell(file, cellOf(heading), 'warning', { heading, expected: 'readable text', cure }));
    }
  }
  const parsed = columns.safeParse(raw);
  if (!parsed.success) {
    for (const issue of parsed.error.issues) {
      const heading = String(issue.path[0] ?? '');
      const fault = (issue as { readonly params?: { readonly fault?: CellFault } }).params?.fault;
      const { expected, cure } = fault ?? { expected: issue.message, cure: 'See the codebook.' };
      problems.push(atCell(file, cellOf(heading), 'error', { heading, expected, cure }));
    }
    return undefined;
  }
  for (const [heading, value] of Object.entries(parsed.data)) {
    if (typeof value === 'string' && /^[=@]/.test(value)) {
      const cure = 'If it is a formula, paste its value; if it is text, leave it: it is never run.';
      problems.push(
        atCell(file, cellOf(heading), 'warning', { heading, expected: 'text rather than a formula', cure }),
      );
    }
  }
  const named = Object.fromEntries(
    Object.entries(parsed.data).map(([heading, value]) => [camelCase(heading), value]),
  );
  const locator = (parsed.data as { readonly locator?: Reported<string> }).locator ?? notReported;
  const values = { ...named, row: { file, line: row.line, locator } } as Row;
  return {
    values,
    problem: (severity, heading, expected, cure) =>
      atCell(file, cellOf(heading), severity, { heading, expected, cure }),
  };
}
