import type { Axis } from '../axis.ts';
import { label } from '../label.ts';
import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

/** An upright axis: level grid lines, ticks and their labels to the left of `left`. */
export const levelGrid =
  (axis: Axis, y: (at: number) => number, [left, right]: readonly [number, number], size: number): Mark =>
  (canvas) =>
    shape(canvas.document, 'g', { class: 'upright-axis' }, [
      shape(canvas.document, 'path', {
        d: axis.ticks.map(({ at }) => `M${left},${y(at)}H${right}`).join('') || `M${left},${y(axis.lower)}h0`,
        stroke: palette.hairline,
        'stroke-width': 0.5,
        fill: 'none',
      }),
      ...axis.ticks.map(({ at, text }) =>
        label(text, left - 5, y(at) + 0.33 * size, { size, anchor: 'end', fill: palette.quiet })(canvas),
      ),
    ]);
