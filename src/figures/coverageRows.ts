import type { CoverageResult } from '../pooling/calibration/simulateCoverage.ts';
import { meanIntervalMethods } from '../pooling/meanIntervalMethods.ts';
import { type Axis, thinTicks } from './axis.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { fixed, levelText, percentNumber } from './formatNumber.ts';
import { gridMark, referenceMark, ruleMark, tickMarks } from './marks/axisMarks.ts';
import { onAxis } from './onAxis.ts';
import { palette } from './palette.ts';
import { type Mark, shape } from './shape.ts';
import { put, startSheet } from './sheet.ts';
import { textWidth } from './textWidth.ts';

/** Told apart by form, not by colour alone; as many as methods that can be told apart in one row. */
const forms = ['disc', 'ring', 'triangle', 'bar'] as const;
type Form = (typeof forms)[number];

/**
 * How often did each interval hold the truth, over simulated reviews?
 *
 * One row a scenario, one mark a method, with its Monte Carlo error (two standard errors each way); the dashed line is
 * what the intervals promise. At most four interval methods, all of one variance estimator.
 *
 * @throws RangeError for no results, more than four methods, or an unknown option
 * @example
 * coverageRows(simulateCoverage(scenario), { width: '190mm' })
 */
export function coverageRows(results: readonly CoverageResult[], options: FigureOptions = {}): string {
  refuseUnknownOptions('coverageRows', options, figureOptionNames);
  const intervals = [...new Set(results.map(({ interval }) => interval))];
  if (intervals.length < 1 || intervals.length > forms.length) {
    throw new RangeError(
      `coverageRows: needs 1 to ${forms.length} interval methods, received ${intervals.length}`,
    );
  }
  const resolved = resolveFigureOptions(options, {
    title: 'How often the interval holds the truth',
    idPrefix: 'coverage',
  });
  const { page } = resolved;
  const level = results[0]!.level;
  const sheet = startSheet(resolved);
  const plot = [page.margin + (page.narrow ? 66 : 120), page.width - page.margin - 8] as const;
  const axis = thinTicks(coverageAxis(results), plot[1] - plot[0], page.noteSize);
  const draw = onAxis(axis, plot, sheet);
  let x = page.margin;
  intervals.forEach((interval, index) => {
    const name = meanIntervalMethods[interval].name;
    const room = 14 + textWidth(name, page.noteSize) + 12;
    if (x > page.margin && x + room > page.width - page.margin) {
      x = page.margin;
      sheet.y += page.lineHeight + 2;
    }
    sheet.marks.push(formMark(forms[index]!, () => x0, sheet.y + page.noteSize * 0.68));
    const x0 = x + 4;
    put(sheet, name, x + 12, sheet.y + page.noteSize, { size: page.noteSize, fill: palette.ink });
    x += room;
  });
  sheet.y += page.noteSize + 6;
  sheet.marks.push(ruleMark(page.margin, page.width - page.margin, sheet.y, palette.quiet));
  sheet.y += 5;
  const rowHeight = page.narrow ? 13 : 14;
  for (const [heading, rows] of grouped(results)) {
    put(sheet, heading, page.margin, sheet.y + page.textSize + 1, {
      size: page.textSize,
      face: 'bold',
      room: page.width - 2 * page.margin,
    });
    sheet.y += page.lineHeight + 5;
    for (const [studies, marks] of rows) {
      draw(gridMark(axis, sheet.y, sheet.y + rowHeight));
      draw(referenceMark(level, sheet.y, sheet.y + rowHeight, palette.ink, true));
      put(sheet, `${studies} studies`, page.margin + 4, sheet.y + rowHeight / 2 + 0.33 * page.textSize, {
        size: page.textSize,
      });
      const middle = sheet.y + rowHeight / 2;
      for (const result of marks) {
        draw(errorMark(result, axis, middle));
        draw(
          formMark(
            forms[intervals.indexOf(result.interval)]!,
            (at) => at(Math.max(axis.lower, result.coverage)),
            middle,
          ),
        );
      }
      sheet.y += rowHeight;
    }
    sheet.y += 3;
  }
  draw(tickMarks(axis, sheet.y, page.noteSize));
  sheet.y += page.noteSize + 12;
  return drawSheet(sheet, resolved, {
    notes: [
      `Per cent of simulated reviews whose ${levelText(level)} interval held the true mean (dashed: what it promises). Lines through the marks: two Monte Carlo standard errors each way. Simulated data; no study is real.`,
    ],
    description: describe(results),
  });
}

function coverageAxis(results: readonly CoverageResult[]): Axis {
  const least = Math.min(...results.map(({ coverage }) => coverage), 0.9);
  const lower = Math.max(0, Math.floor(least * 20 - 0.2) / 20);
  const ticks = [];
  for (let at = lower; at <= 1 + 1e-9; at += 0.05) ticks.push({ at, text: fixed(100 * at, 0) });
  return { lower, upper: 1, ticks, title: '', toAxis: (value) => value };
}

type Rows = Map<number, CoverageResult[]>;

function grouped(results: readonly CoverageResult[]): Map<string, Rows> {
  const groups = new Map<string, Rows>();
  for (const result of results) {
    const heading = `I\u00b2 ${fixed(100 * result.iSquared, 0)} %, ${result.sizes === 'equal' ? 'studies of equal size' : `${result.sizes} than the others`}`;
    const rows = groups.get(heading) ?? new Map<number, CoverageResult[]>();
    rows.set(result.studies, [...(rows.get(result.studies) ?? []), result]);
    groups.set(heading, rows);
  }
  return groups;
}

const errorMark =
  ({ coverage, monteCarloError }: CoverageResult, axis: Axis, y: number): Mark =>
  ({ document, x }) =>
    shape(document, 'path', {
      class: 'error',
      d: `M${x(Math.max(axis.lower, coverage - 2 * monteCarloError))},${y}H${x(Math.min(axis.upper, coverage + 2 * monteCarloError))}`,
      stroke: palette.quiet,
      'stroke-width': 0.7,
      fill: 'none',
    });

const formMark =
  (form: Form, place: (at: (value: number) => number) => number, y: number): Mark =>
  ({ document, x }) => {
    const at = place(x);
    const line = { stroke: palette.comparison, 'stroke-width': 1.1 };
    if (form === 'disc')
      return shape(document, 'circle', { class: 'form', cx: at, cy: y, r: 3, fill: palette.comparison });
    if (form === 'ring')
      return shape(document, 'circle', {
        class: 'form',
        cx: at,
        cy: y,
        r: 2.8,
        fill: palette.paper,
        ...line,
      });
    if (form === 'triangle') {
      return shape(document, 'path', {
        class: 'form',
        d: `M${at},${y - 3.4}L${at + 3.2},${y + 2.4}H${at - 3.2}Z`,
        fill: palette.paper,
        ...line,
      });
    }
    return shape(document, 'path', {
      class: 'form',
      d: `M${at},${y - 4.2}V${y + 4.2}`,
      fill: 'none',
      ...line,
      'stroke-width': 1.6,
    });
  };

function describe(results: readonly CoverageResult[]): string {
  const parts = [...grouped(results)].map(
    ([heading, rows]) =>
      `${heading}: ${[...rows]
        .map(
          ([studies, marks]) =>
            `${studies} studies ${marks.map(({ interval, coverage }) => `${meanIntervalMethods[interval].name} ${percentNumber(coverage, 1)} %`).join(', ')}`,
        )
        .join('; ')}.`,
  );
  return `Coverage of intervals in simulated reviews. ${parts.join(' ')}`;
}
