import { nice, ticks as niceTicks } from 'd3-array';
import type { InfluenceResult, StudyInfluence } from '../robustness/influence/influence.ts';
import type { Axis } from './axis.ts';
import { thinTicks } from './axis.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { countOf, fixed } from './formatNumber.ts';
import { label } from './label.ts';
import { gridMark } from './marks/axisMarks.ts';
import { levelGrid, uprightAxisMarks } from './marks/uprightAxis.ts';
import { palette } from './palette.ts';
import { pointsAlong, putAxisBelow, putUprightTitle } from './plotArea.ts';
import { type Mark, shape } from './shape.ts';
import { put, startSheet } from './sheet.ts';
import { textWidth } from './textWidth.ts';

const mostNamed = 8;

interface PullPoint {
  readonly study: StudyInfluence;
  readonly across: number;
  readonly up: number;
}

/**
 * Which studies pull the estimate, and which make the studies look unlike?
 *
 * Across: the study's share of Cochran's Q. Up: the squared change of the common-effect mean when it is left out, in
 * variances of that mean. The studies furthest from the origin are named; those marked by a measure of influence are
 * filled.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 *
 * Source: Baujat B, Mahé C, Pignon J-P, Hill C, Stat Med 2002;21:2641-2652.
 *
 * @example
 * influencePull(influence(estimates), { width: '190mm' })
 */
export function influencePull(result: InfluenceResult, options: FigureOptions = {}): string {
  refuseUnknownOptions('influencePull', options, figureOptionNames);
  const resolved = resolveFigureOptions(options, {
    title: 'Pull of each study on the estimate and on heterogeneity',
    idPrefix: 'pull',
  });
  const { page } = resolved;
  const sheet = startSheet(resolved);
  const points = result.studies.flatMap((study): PullPoint[] =>
    study.shareOfQ === undefined || study.pullOnMean === undefined
      ? []
      : [{ study, across: study.shareOfQ, up: study.pullOnMean }],
  );
  const range = [page.margin + 34, page.width - page.margin - 8] as const;
  const tickCount = page.narrow ? 4 : 7;
  const [, right] = nice(0, Math.max(0.05, ...points.map(({ across }) => across)) * 1.04, tickCount);
  const axis: Axis = thinTicks(
    {
      lower: 0,
      upper: right,
      ticks: niceTicks(0, right, tickCount).map((at) => ({
        at,
        text: String(Number((100 * at).toPrecision(6))),
      })),
      title: 'Share of Cochran’s Q, per cent',
      toAxis: (value) => value,
    },
    range[1] - range[0],
    page.noteSize,
  );
  if (points.length === 0) {
    put(sheet, 'There are not two studies to compare.', page.margin, sheet.y + page.textSize, {
      size: page.textSize,
    });
    sheet.y += 2 * page.lineHeight;
  } else {
    putUprightTitle(sheet, 'Pull on the common-effect mean, in its variances', page, {
      room: page.width - 2 * page.margin,
    });
    const top = sheet.y;
    const bottom = top + Math.min(230, 0.66 * (range[1] - range[0]));
    const [, highest] = nice(0, Math.max(1e-6, ...points.map(({ up }) => up)) * 1.06, 5);
    const y = pointsAlong({ lower: 0, upper: highest }, [bottom, top]);
    const steps = niceTicks(0, highest, 5);
    const x = pointsAlong(axis, range);
    sheet.marks.push(
      gridMark(axis, top, bottom),
      levelGrid(steps, y, range[0], range[1]),
      uprightAxisMarks(
        steps.map((at) => ({ at: y(at), text: String(Number(at.toPrecision(6))) })),
        range[0] - 5,
        page.noteSize,
      ),
    );
    for (const { study, across, up } of points)
      sheet.marks.push(pullPoint(x(across), y(up), study.marked.length > 0, study.label));
    sheet.marks.push(...names(points, x, y, range, top, page.noteSize));
    sheet.y = bottom + 3;
    putAxisBelow(sheet, axis, range, page);
  }
  const marked = points.filter(({ study }) => study.marked.length > 0);
  return drawSheet(sheet, resolved, {
    notes: [
      `One point a study, ${countOf(points.length, 'study', 'studies')}. Far right: disagrees with the rest. High: moves the mean. Filled: marked by residual, distance, change or weight (${marked.length}).`,
      'A study that stands out is a reason to read it again, not to leave it out.',
    ],
    description: `${points
      .map(
        ({ study, across, up }) =>
          `${study.label}: ${fixed(100 * across, 1)} per cent of Q, pull ${fixed(up, 2)}${study.marked.length > 0 ? ', marked' : ''}`,
      )
      .join('; ')}.`,
    axis: axis,
    range,
  });
}

const pullPoint =
  (cx: number, cy: number, filled: boolean, name: string): Mark =>
  ({ document }) =>
    shape(
      document,
      'circle',
      {
        class: 'point',
        cx,
        cy,
        r: 3,
        fill: filled ? palette.comparison : palette.paper,
        stroke: palette.comparison,
        'stroke-width': 1,
      },
      [shape(document, 'title', {}, [name])],
    );

/** Names the furthest points where the name touches no point and no other name. */
function names(
  points: readonly PullPoint[],
  x: (across: number) => number,
  y: (up: number) => number,
  [left, right]: readonly [number, number],
  top: number,
  size: number,
): readonly Mark[] {
  const boxes = points.map(({ across, up }) => ({
    left: x(across) - 5,
    right: x(across) + 5,
    top: y(up) - 5,
    bottom: y(up) + 5,
  }));
  const furthest = [...points].sort((a, b) => distance(b) - distance(a)).slice(0, mostNamed);
  function distance({ across, up }: PullPoint): number {
    return Math.hypot((x(across) - x(0)) / (right - left), (y(0) - y(up)) / (y(0) - top));
  }
  const marks: Mark[] = [];
  for (const { study, across, up } of furthest) {
    const room = Math.min(150, 0.5 * (right - left));
    const width = Math.min(room, textWidth(study.label, size));
    for (const [dx, dy, anchor] of [
      [7, 3, 'start'],
      [-7, 3, 'end'],
      [0, -7, 'middle'],
    ] as const) {
      const at = x(across) + dx;
      const begin = anchor === 'start' ? at : anchor === 'end' ? at - width : at - width / 2;
      const base = y(up) + dy;
      const box = { left: begin - 1, right: begin + width + 1, top: base - size, bottom: base + 2.5 };
      if (box.left < left || box.right > right + 8 || box.top < top - 8) continue;
      const own = { left: x(across) - 5, top: y(up) - 5 };
      const clash = boxes.some(
        (other) =>
          !(other.left === own.left && other.top === own.top) &&
          other.left < box.right &&
          box.left < other.right &&
          other.top < box.bottom &&
          box.top < other.bottom,
      );
      if (clash) continue;
      boxes.push(box);
      marks.push(label(study.label, at, base, { size, anchor, room }));
      break;
    }
  }
  return marks;
}
