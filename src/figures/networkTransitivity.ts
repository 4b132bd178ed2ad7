import { nice, ticks as niceTicks } from 'd3-array';
import type { ModifierAcrossComparisons, Transitivity } from '../comparison/network/transitivity.ts';
import { isReported } from '../extraction/reported.ts';
import { type Axis, thinTicks } from './axis.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { countOf, fixed } from './formatNumber.ts';
import { gridMark, ruleMark, tickMarks } from './marks/axisMarks.ts';
import { pairName, type TreatmentNames } from './networkNames.ts';
import { palette } from './palette.ts';
import { shape } from './shape.ts';
import { put, type Sheet, startSheet } from './sheet.ts';

export interface NetworkTransitivityOptions extends FigureOptions {
  readonly names?: TreatmentNames;
}

const rowHeight = 13;
/** Room right of a panel for how many studies do not report the value. */
const silentRoom = 24;

/**
 * Are the comparisons alike in what may change the effect?
 *
 * One panel a modifier, one row a comparison, one ring a study (area by shoulders), an upright bar at the mean weighted
 * by shoulders. Rows that lie apart warn against comparing by way of others. Studies that do not report the value are
 * counted at the right of the row.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 * @example
 * networkTransitivity(transitivity(review, selection.arms), { width: '190mm' })
 */
export function networkTransitivity(result: Transitivity, options: NetworkTransitivityOptions = {}): string {
  refuseUnknownOptions('networkTransitivity', options, [...figureOptionNames, 'names']);
  const resolved = resolveFigureOptions(options, {
    title: 'Are the comparisons alike?',
    idPrefix: 'transitivity',
  });
  const { page } = resolved;
  const { names = {} } = options;
  const sheet = startSheet(resolved);
  const labelRoom = page.narrow ? 122 : 140;
  const columns = page.narrow ? 1 : 2;
  const gap = 14;
  const plotStart = page.margin + labelRoom;
  const panelWidth = (page.width - page.margin - plotStart - (columns - 1) * gap) / columns - silentRoom;
  const shown = result.modifiers.filter(({ comparisons }) => comparisons.length > 0);
  for (let at = 0; at < shown.length; at += columns) {
    const row = shown.slice(at, at + columns);
    const top = sheet.y;
    const first = row[0]!;
    const plotTop = top + page.lineHeight + 4;
    first.comparisons.forEach(({ treatment, comparator }, i) => {
      put(
        sheet,
        pairName(treatment, comparator, names),
        page.margin,
        plotTop + (i + 0.5) * rowHeight + 0.33 * page.noteSize,
        {
          size: page.noteSize,
          room: labelRoom - 6,
        },
      );
    });
    row.forEach((modifier, column) => {
      const left = plotStart + column * (panelWidth + silentRoom + gap);
      putPanel(sheet, modifier, left, left + panelWidth, plotTop, page.noteSize, page.narrow ? 4 : 5);
    });
    sheet.y = plotTop + first.comparisons.length * rowHeight + page.noteSize + 16;
  }
  return drawSheet(sheet, resolved, {
    notes: [
      'Ring: one study, its area the shoulders. Upright bar: mean of the comparison, weighted by shoulders. At the right: studies that do not report it (n/r).',
      'An indirect comparison holds only if rows are alike in everything that changes the effect, the unmeasured included. Whether they are is a judgement.',
    ],
    description: `Effect modifiers by comparison. ${shown.map((each) => `${each.name}${each.unit === '' ? '' : ` (${each.unit})`}: ${each.comparisons.map(({ treatment, comparator, mean, reported, points }) => `${pairName(treatment, comparator, names)} ${mean === undefined ? 'not reported' : `mean ${fixed(mean, 0)}`} from ${reported} of ${countOf(points.length, 'study', 'studies')}`).join('; ')}`).join('. ')}.`,
  });
}

function putPanel(
  sheet: Sheet,
  modifier: ModifierAcrossComparisons,
  left: number,
  right: number,
  top: number,
  size: number,
  tickCount: number,
): void {
  const heading = `${modifier.name}${modifier.unit === '' ? '' : `, ${modifier.unit}`}`;
  put(sheet, heading, left, top - 5, { size, face: 'semibold', room: right - left + silentRoom });
  const values = modifier.comparisons.flatMap(({ points }) =>
    points.flatMap(({ value }) => (isReported(value) ? [value] : [])),
  );
  const bottom = top + modifier.comparisons.length * rowHeight;
  const axis = thinTicks(panelAxis(values, tickCount), right - left, size);
  const x = (value: number): number =>
    left + ((value - axis.lower) / (axis.upper - axis.lower)) * (right - left);
  const largest = Math.max(
    1,
    ...modifier.comparisons.flatMap(({ points }) => points.map(({ shoulders }) => shoulders)),
  );
  if (values.length > 0) {
    sheet.marks.push((canvas) => gridMark(axis, top, bottom)({ ...canvas, x }));
    sheet.marks.push((canvas) => tickMarks(axis, bottom, size)({ ...canvas, x }));
  } else {
    sheet.marks.push(ruleMark(left, right, bottom));
  }
  modifier.comparisons.forEach(({ points, mean, reported }, i) => {
    const y = top + (i + 0.5) * rowHeight;
    sheet.marks.push(({ document }) =>
      shape(document, 'g', { class: 'modifier-row' }, [
        ...points.flatMap(({ value, shoulders }) =>
          isReported(value)
            ? [
                shape(document, 'circle', {
                  class: 'modifier-study',
                  cx: x(value),
                  cy: y,
                  r: Math.max(1.6, 4.4 * Math.sqrt(shoulders / largest)),
                  fill: 'none',
                  stroke: palette.comparison,
                  'stroke-width': 0.9,
                }),
              ]
            : [],
        ),
        ...(mean === undefined
          ? []
          : [
              shape(document, 'path', {
                class: 'modifier-mean',
                d: `M${x(mean)},${y - 5.4}V${y + 5.4}`,
                stroke: palette.ink,
                'stroke-width': 2,
                fill: 'none',
              }),
            ]),
      ]),
    );
    const silent = points.length - reported;
    if (silent > 0)
      put(sheet, `${silent} n/r`, right + silentRoom - 1, y + 0.33 * size, {
        size,
        anchor: 'end',
        fill: palette.quiet,
      });
  });
}

/** An even axis with a margin, so that no ring is cut. */
function panelAxis(values: readonly number[], tickCount: number): Axis {
  const least = values.length > 0 ? Math.min(...values) : 0;
  const most = values.length > 0 ? Math.max(...values) : 1;
  const spread = most - least || Math.max(1, 0.1 * Math.abs(most));
  const [low, high] = nice(least, least + spread, tickCount) as [number, number];
  const edge = 0.06 * (high - low);
  return {
    lower: low - edge,
    upper: high + edge,
    ticks: niceTicks(low, high, tickCount).map((at) => ({ at, text: String(Number(at.toPrecision(6))) })),
    title: '',
    toAxis: (value) => value,
  };
}
