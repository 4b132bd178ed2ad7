import { checkPrintSize, type PrintSize, printLimits } from './checkPrintSize.ts';
import type { PrintWidth } from './figuresCommandLine.ts';
import type { PlannedFigure } from './printFigure.ts';

/** A figure drawn at one width. */
export interface DrawnFigure {
  readonly planned: PlannedFigure;
  /** File name without ending. */
  readonly file: string;
  readonly width: PrintWidth;
  readonly svg: string;
  readonly size: PrintSize;
  /** Said where the figure was cut into parts. */
  readonly partOf: string | undefined;
}

/**
 * Draws a figure at a width; one taller than a page becomes its parts, each a figure of its own.
 *
 * @throws Error when text, lines or width are not what print needs
 */
export function drawPlanned(
  planned: PlannedFigure,
  width: PrintWidth,
  notice: string | undefined,
  partOf?: string,
): readonly DrawnFigure[] {
  const file = `${planned.file}-${width}`;
  const svg = planned.draw({ width, idPrefix: file, ...(notice === undefined ? {} : { notice }) });
  const size = checkPrintSize(svg, Number.parseFloat(width));
  const tall = size.height > printLimits.tallest;
  if (size.complaints.length > (tall ? 1 : 0))
    throw new Error(`${file} cannot go to print: ${size.complaints.join(' ')}`);
  if (tall && planned.parts !== undefined) {
    const whole = `All of "${planned.title}" in one would be ${size.height.toFixed(0)} mm tall at ${width.replace('mm', ' mm')}; it is cut into ${planned.parts.length} figures.`;
    return planned.parts.flatMap((part) => drawPlanned(part, width, notice, whole));
  }
  return [{ planned, file, width, svg, size, partOf }];
}
