import type { z } from 'zod';
import { cellProblem } from './cellProblem.ts';
import { columnMeanings } from './columnMeaning.ts';
import type { TextCell, TextRow } from './delimitedText.ts';
import { plainHeading } from './headings.ts';
import { didYouMean, nearestName } from './nearestName.ts';
import type { Problem } from './problem.ts';

/** Heading to position in the row; undefined when a required heading is missing. */
export function readHeadings(
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
      problems.push(cellProblem(file, cell, 'error', { expected: 'each heading once', cure }));
    } else places.set(heading, index);
  });
  const absent = known.filter((heading) => !places.has(heading));
  for (const cell of unknown) {
    const cure = `${didYouMean(plainHeading(cell.text), absent)}Rename the column, or delete it; the codebook lists all headings.`;
    problems.push(cellProblem(file, cell, 'error', { expected: 'a heading of the codebook', cure }));
  }
  const needed = absent.filter(
    (heading) => columnMeanings.get(shape[heading] as z.ZodType)?.heading === 'required',
  );
  const meant = new Set(unknown.map((cell) => nearestName(plainHeading(cell.text), absent)));
  // A heading that was only misspelt is said once, where it stands.
  for (const heading of needed.filter((each) => !meant.has(each))) {
    const cell = { text: '', line: row.line, column: 1 };
    const cure = `Add the column "${heading}"; its cells may say NR where the codebook allows a blank.`;
    problems.push(cellProblem(file, cell, 'error', { expected: `the heading "${heading}"`, cure }));
  }
  return needed.length > 0 ? undefined : places;
}

/** Is there a cell for each heading, and none beside them? What is wrong goes to `problems`. */
export function hasOneCellPerHeading(
  file: string,
  row: TextRow,
  headings: TextRow,
  problems: Problem[],
): boolean {
  const wanted = headings.cells.length;
  const lastHeading = headings.cells.findLastIndex((cell) => cell.text.trim() !== '');
  const beyond = row.cells.find((cell, index) => index > lastHeading && cell.text.trim() !== '');
  const headless = row.cells.find(
    (cell, index) =>
      index < lastHeading && headings.cells[index]?.text.trim() === '' && cell.text.trim() !== '',
  );
  if (headless !== undefined) {
    const cure = 'Give its column a heading, or delete the cell.';
    problems.push(cellProblem(file, headless, 'error', { expected: 'a heading above the cell', cure }));
    return false;
  }
  if (beyond !== undefined) {
    const cure =
      'Delete the cell, or put quotes around a cell that holds the separator (a decimal comma or a comma in a text).';
    problems.push(
      cellProblem(file, beyond, 'error', {
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
    problems.push(cellProblem(file, last, 'error', { expected, cure }));
    return false;
  }
  return true;
}
