import { ticks } from 'd3-array';
import { fixed } from '../formatNumber.ts';
import { label } from '../label.ts';
import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

/** One column of the curve: points across, rates (0 to 1) or differences upwards. */
export interface CurveColumn {
  readonly x: number;
  readonly width: number;
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

/** An upright axis per 100, with its grid and labels. */
export interface UprightAxis {
  readonly top: number;
  readonly bottom: number;
  readonly y: (value: number) => number;
  readonly marks: readonly Mark[];
  /** The level line, drawn over the intervals. */
  readonly reference: readonly Mark[];
}

export function uprightAxis(
  values: readonly number[],
  place: {
    readonly top: number;
    readonly bottom: number;
    readonly left: number;
    readonly right: number;
    readonly size: number;
    readonly reference: number | undefined;
  },
): UprightAxis {
  const { top, bottom, left, right, size, reference } = place;
  const least = Math.min(...values);
  const most = Math.max(...values);
  const room = Math.max(1e-4, 0.04 * (most - least));
  // Rates start at none; differences reach both ways.
  const lower = least >= 0 && reference !== 0 ? 0 : least - room;
  const upper = most + room;
  const y = (value: number): number => bottom - ((value - lower) / (upper - lower)) * (bottom - top);
  const steps = ticks(100 * lower, 100 * upper, 5);
  const decimals = steps.some((step) => Math.abs(step - Math.round(step)) > 1e-9) ? 1 : 0;
  const marks: Mark[] = [
    ({ document }) =>
      shape(document, 'path', {
        class: 'grid',
        d: steps.map((step) => `M${left},${y(step / 100)}H${right}`).join(''),
        stroke: palette.hairline,
        'stroke-width': 0.5,
        fill: 'none',
      }),
    ...steps.map((step) =>
      label(fixed(step, decimals), left - 4, y(step / 100) + 0.35 * size, {
        size,
        anchor: 'end',
        fill: palette.quiet,
        className: 'tick',
      }),
    ),
  ];
  const line: Mark[] =
    reference === undefined
      ? []
      : [
          ({ document }) =>
            shape(document, 'path', {
              class: 'reference',
              d: `M${left},${y(reference)}H${right}`,
              stroke: palette.ink,
              'stroke-width': 0.8,
              fill: 'none',
            }),
        ];
  return { top, bottom, y, marks, reference: line };
}

/** The intervals as grey columns with the answers as a line of steps over them. */
export function curveMarks(
  columns: readonly CurveColumn[],
  axis: UprightAxis,
  colour: string,
): readonly Mark[] {
  const path = (d: (column: CurveColumn) => string): string => columns.map(d).join('');
  return [
    ({ document }) =>
      shape(document, 'path', {
        class: 'intervals',
        d: path(
          ({ x, width, lower, upper }) => `M${x},${axis.y(upper)}h${width}V${axis.y(lower)}h${-width}z`,
        ),
        fill: palette.hairline,
        'fill-opacity': 0.75,
      }),
    ...axis.reference,
    ({ document }) =>
      shape(document, 'path', {
        class: 'answers',
        d: path(({ x, width, value }) => `M${x},${axis.y(value)}h${width}`),
        stroke: colour,
        'stroke-width': 2,
        fill: 'none',
      }),
  ];
}

/** The protocol's own analysis: a ring on the curve and a dashed line through the strips. */
export const protocolMarks = (x: number, y: number, top: number, bottom: number): readonly Mark[] => [
  ({ document }) =>
    shape(document, 'path', {
      class: 'protocol',
      d: `M${x},${top}V${bottom}`,
      stroke: palette.notice,
      'stroke-width': 0.8,
      'stroke-dasharray': '3 2',
      fill: 'none',
    }),
  ({ document }) =>
    shape(document, 'circle', {
      cx: x,
      cy: y,
      r: 3.6,
      fill: palette.paper,
      stroke: palette.notice,
      'stroke-width': 1.4,
    }),
];
