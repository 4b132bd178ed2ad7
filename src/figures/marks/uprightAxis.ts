import { label } from '../label.ts';
import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

/** Ticks and labels left of an upright axis whose places are points on the page. */
export const uprightAxisMarks =
  (ticks: readonly { readonly at: number; readonly text: string }[], left: number, size: number): Mark =>
  (canvas) =>
    shape(canvas.document, 'g', { class: 'upright-axis' }, [
      shape(canvas.document, 'path', {
        d: ticks.map(({ at }) => `M${left - 3},${at}H${left}`).join('') || `M${left},0h0`,
        stroke: palette.quiet,
        'stroke-width': 0.7,
        fill: 'none',
      }),
      ...ticks.map(({ at, text }) =>
        label(text, left - 5, at + 0.33 * size, { size, anchor: 'end', fill: palette.quiet })(canvas),
      ),
    ]);

/** Faint level lines. */
export const levelGrid =
  (steps: readonly number[], y: (value: number) => number, left: number, right: number): Mark =>
  ({ document }) =>
    shape(document, 'path', {
      class: 'grid',
      d: steps.map((step) => `M${left},${y(step)}H${right}`).join('') || `M${left},0h0`,
      stroke: palette.hairline,
      'stroke-width': 0.5,
      fill: 'none',
    });
