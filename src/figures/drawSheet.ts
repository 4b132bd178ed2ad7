import type { Axis } from './axis.ts';
import { drawFigure } from './drawFigure.ts';
import type { ResolvedFigureOptions } from './figureOptions.ts';
import { finishSheet, type Sheet } from './sheet.ts';

export interface SheetEnd {
  /** Printed below everything, before the caution. */
  readonly notes: readonly string[];
  /** What the picture shows, for those who cannot see it; the notice is added. */
  readonly description: string;
  /** The axis the marks stand on and the points it is spread over; without one they stand on points of the page. */
  readonly axis?: Axis;
  readonly range?: readonly [number, number];
}

/** Ends a filled sheet with its notes and caution, and writes it as a picture. */
export function drawSheet(
  sheet: Sheet,
  resolved: ResolvedFigureOptions,
  { notes, description, axis, range }: SheetEnd,
): string {
  const { page, notice } = resolved;
  const height = finishSheet(sheet, notes, resolved);
  const whole = [0, page.width] as const;
  return drawFigure({
    millimetres: page.millimetres,
    width: page.width,
    height,
    domain: axis === undefined ? whole : [axis.lower, axis.upper],
    range: range ?? whole,
    marks: sheet.marks,
    title: resolved.title,
    description: notice === undefined ? description : `${description} ${notice}`,
    idPrefix: resolved.idPrefix,
    document: resolved.document,
  });
}
