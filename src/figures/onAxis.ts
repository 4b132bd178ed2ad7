import type { Axis } from './axis.ts';
import { pointsAlong } from './plotArea.ts';
import type { Mark } from './shape.ts';
import type { Sheet } from './sheet.ts';

/**
 * Draws marks that are placed on an axis into a sheet whose own scale is points, so that several plots, or a plot
 * beside text, can share a page.
 */
export function onAxis(axis: Axis, range: readonly [number, number], sheet: Sheet) {
  const along = pointsAlong(axis, range);
  return (mark: Mark): void => {
    sheet.marks.push((canvas) =>
      mark({
        ...canvas,
        x: (position) => canvas.x(along(position)),
      }),
    );
  };
}
