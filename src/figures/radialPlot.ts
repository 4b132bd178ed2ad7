import { nice, ticks as niceTicks } from 'd3-array';
import type { PooledResult } from '../pooling/pooledResult.ts';
import { type Axis, thinTicks } from './axis.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { countOf, fixed } from './formatNumber.ts';
import { gridMark } from './marks/axisMarks.ts';
import { uprightAxisMarks } from './marks/uprightAxis.ts';
import { naturalScale } from './naturalAxis.ts';
import { palette } from './palette.ts';
import { pointsAlong, putAxisBelow, putUprightTitle } from './plotArea.ts';
import { type Mark, shape } from './shape.ts';
import { put, startSheet } from './sheet.ts';

/**
 * Do the studies scatter about their mean more than chance allows, and do imprecise ones lean?
 *
 * Across: precision `1 / se`. Up: value over its standard error. A study's own value is the slope of the line from the
 * origin to its point. The solid line is the common-effect mean; under chance alone about 95 in 100 studies fall in
 * the band two up and two down. A lean shows as points that do not run through the origin.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 *
 * Source: Galbraith RF, Stat Med 1988;7:889-894.
 *
 * @example
 * radialPlot(poolEstimates(estimates), { width: '90mm' })
 */
export function radialPlot(pooled: PooledResult, options: FigureOptions = {}): string {
  refuseUnknownOptions('radialPlot', options, figureOptionNames);
  const resolved = resolveFigureOptions(options, {
    title: 'Studies by precision, in standard errors',
    idPrefix: 'radial',
  });
  const { page } = resolved;
  const sheet = startSheet(resolved);
  const natural = naturalScale(pooled.scale);
  const points = pooled.estimates.map(({ label, value, variance }) => ({
    label,
    across: 1 / Math.sqrt(variance),
    up: value / Math.sqrt(variance),
  }));
  let weights = 0;
  let weighted = 0;
  for (const { value, variance } of pooled.estimates) {
    weights += 1 / variance;
    weighted += value / variance;
  }
  const slope = weighted / weights;
  const range = [page.margin + 34, page.width - page.margin - 8] as const;
  const tickCount = page.narrow ? 4 : 7;
  const [, right] = nice(0, Math.max(1e-3, ...points.map(({ across }) => across)) * 1.04, tickCount);
  const axis: Axis = thinTicks(
    {
      lower: 0,
      upper: right,
      ticks: niceTicks(0, right, tickCount).map((at) => ({ at, text: String(Number(at.toPrecision(6))) })),
      title: 'Precision: one over the standard error',
      toAxis: (value) => value,
    },
    range[1] - range[0],
    page.noteSize,
  );
  const outside = points.filter(({ across, up }) => Math.abs(up - slope * across) > 2);
  if (points.length === 0) {
    put(sheet, 'There is no study to show.', page.margin, sheet.y + page.textSize, { size: page.textSize });
    sheet.y += 2 * page.lineHeight;
  } else {
    putUprightTitle(sheet, 'Value in its standard errors', page);
    const ends = [2, -2, slope * right + 2, slope * right - 2, ...points.map(({ up }) => up)];
    const [low, high] = nice(Math.min(...ends), Math.max(...ends), 6);
    const top = sheet.y;
    const bottom = top + Math.min(240, 0.7 * (range[1] - range[0]));
    const y = pointsAlong({ lower: low, upper: high }, [bottom, top]);
    sheet.marks.push(
      radialBand(axis, y, slope),
      gridMark(axis, top, bottom),
      uprightAxisMarks(
        niceTicks(low, high, 6).map((at) => ({ at: y(at), text: String(at).replace('-', '\u2212') })),
        range[0] - 5,
        page.noteSize,
      ),
      radialLines(axis, y, slope, range),
      ...points.map((point) => radialPoint(y, point, outside.includes(point))),
    );
    sheet.y = bottom + 3;
    putAxisBelow(sheet, axis, range, page);
  }
  const meanText =
    points.length === 0 ? '' : `${natural.write(natural.back(slope))} (${natural.title.toLowerCase()})`;
  const notes =
    points.length === 0
      ? [
          'A study would be a point: across by its precision, up by its value in standard errors.',
          'Its own value would be the slope of the line to it from the origin.',
        ]
      : [
          `Solid line: common-effect mean, ${meanText}. Band: two standard errors either way; ${outside.length} of ${countOf(points.length, 'study', 'studies')} outside it (filled), where chance alone puts about one in twenty.`,
          ...(points.length < 10
            ? ['Fewer than ten studies: no lean can be told from chance in this picture.']
            : []),
        ];
  return drawSheet(sheet, resolved, {
    notes,
    description: `${points.length === 0 ? 'No study.' : `Common-effect mean ${meanText}. ${points.map(({ label, across, up }) => `${label}: precision ${fixed(across, 2)}, ${fixed(up, 2)} standard errors`).join('; ')}.`}`,
    axis: axis,
    range,
  });
}

const radialBand =
  (axis: Axis, y: (up: number) => number, slope: number): Mark =>
  ({ document, x }) =>
    shape(document, 'path', {
      class: 'region',
      d: `M${x(0)},${y(2)}L${x(axis.upper)},${y(slope * axis.upper + 2)}V${y(slope * axis.upper - 2)}L${x(0)},${y(-2)}Z`,
      fill: '#eceef1',
    });

const radialLines =
  (axis: Axis, y: (up: number) => number, slope: number, [left]: readonly [number, number]): Mark =>
  ({ document, x }) =>
    shape(document, 'g', { class: 'reference' }, [
      shape(document, 'path', {
        d: `M${left},${y(0)}H${x(axis.upper)}`,
        stroke: palette.quiet,
        'stroke-width': 0.6,
        'stroke-dasharray': '2 2',
        fill: 'none',
      }),
      shape(document, 'path', {
        d: `M${x(0)},${y(0)}L${x(axis.upper)},${y(slope * axis.upper)}`,
        stroke: palette.ink,
        'stroke-width': 0.9,
        fill: 'none',
      }),
    ]);

const radialPoint =
  (
    y: (up: number) => number,
    { across, up, label }: { readonly across: number; readonly up: number; readonly label: string },
    filled: boolean,
  ): Mark =>
  ({ document, x }) =>
    shape(
      document,
      'circle',
      {
        class: 'point',
        cx: x(across),
        cy: y(up),
        r: 3,
        fill: filled ? palette.comparison : palette.paper,
        stroke: palette.comparison,
        'stroke-width': 1,
      },
      [shape(document, 'title', {}, [label])],
    );
