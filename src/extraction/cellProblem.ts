import type { TextCell } from './delimitedText.ts';
import type { CellFault } from './printedNumber.ts';
import type { Problem, Severity } from './problem.ts';

/** A problem at the place of a cell. */
export function cellProblem(
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
