import type { Axis } from '../axis.ts';
import { label } from '../label.ts';
import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

/** Faint upright lines at the ticks. */
export const gridMark =
  (axis: Axis, top: number, bottom: number): Mark =>
  ({ document, x }) =>
    shape(
      document,
      'g',
      { class: 'grid' },
      axis.ticks.map(({ at }) =>
        shape(document, 'path', {
          d: `M${x(at)},${top}V${bottom}`,
          stroke: palette.hairline,
          'stroke-width': 0.5,
          fill: 'none',
        }),
      ),
    );

/** The axis line with its ticks and their labels; the labels are `size` points. */
export const tickMarks =
  (axis: Axis, y: number, size: number): Mark =>
  (canvas) => {
    const { document, x } = canvas;
    return shape(document, 'g', { class: 'axis' }, [
      shape(document, 'path', {
        d: `M${x(axis.lower)},${y}H${x(axis.upper)}${axis.ticks.map(({ at }) => `M${x(at)},${y}v3`).join('')}`,
        stroke: palette.quiet,
        'stroke-width': 0.7,
        fill: 'none',
      }),
      ...axis.ticks.map(({ at, text }) =>
        label(text, x(at), y + 4 + 0.74 * size, {
          size,
          anchor: 'middle',
          fill: palette.quiet,
          className: 'tick',
        })(canvas),
      ),
    ]);
  };

/** The tick labels alone, over the top of a tall picture. */
export const tickLabels =
  (axis: Axis, baseline: number, size: number): Mark =>
  (canvas) =>
    shape(
      canvas.document,
      'g',
      { class: 'axis-top' },
      axis.ticks.map(({ at, text }) =>
        label(text, canvas.x(at), baseline, { size, anchor: 'middle', fill: palette.quiet })(canvas),
      ),
    );

/** An upright reference line: no difference, or a site's pooled rate carried up through its studies. */
export const referenceMark =
  (at: number, top: number, bottom: number, colour: string, dashed: boolean): Mark =>
  ({ document, x }) =>
    shape(document, 'path', {
      class: 'reference',
      d: `M${x(at)},${top}V${bottom}`,
      stroke: colour,
      'stroke-width': dashed ? 0.6 : 0.8,
      'stroke-dasharray': dashed ? '2 2' : undefined,
      fill: 'none',
    });

/** A level rule between parts of the page. */
export const ruleMark =
  (left: number, right: number, y: number, colour: string = palette.hairline): Mark =>
  ({ document }) =>
    shape(document, 'path', {
      class: 'rule',
      d: `M${left},${y}H${right}`,
      stroke: colour,
      'stroke-width': 0.6,
      fill: 'none',
    });
