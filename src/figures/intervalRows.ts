import { nice, ticks } from 'd3-array';
import type { Interval } from '../numerics/interval.ts';
import type { BesideKind } from '../wording/beside.ts';
import { putAnswer, putBeside } from './answerGroup.ts';
import { type Axis, thinTicks } from './axis.ts';
import { drawSheet } from './drawSheet.ts';
import { effectAxis } from './effectAxis.ts';
import {
  chooseFrom,
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { fixed, percentDecimals, percentNumber, ratioNumber } from './formatNumber.ts';
import { gridMark, referenceMark, ruleMark, tickMarks } from './marks/axisMarks.ts';
import { hatchPattern, pooledMark, predictionMark } from './marks/summaryMarks.ts';
import { onAxis } from './onAxis.ts';
import type { PageSize } from './pageSize.ts';
import { palette } from './palette.ts';
import { percentAxis } from './percentAxis.ts';
import { put, type Sheet, startSheet } from './sheet.ts';
import { textWidth } from './textWidth.ts';

/** What the values of the rows are: rates from 0 to 1, ratios on a log axis, or plain points. */
export const rowValueKinds = ['rate', 'ratio', 'points'] as const;
export type RowValueKind = (typeof rowValueKinds)[number];

/** One answer to the same question. */
export interface IntervalRow {
  readonly label: string;
  /** Said after the label in quiet type: degrees of freedom, a prior, why there is no answer. */
  readonly detail?: string;
  /** Undefined where this method has no answer; `detail` then says why. */
  readonly value: number | undefined;
  readonly interval?: Interval | undefined;
  readonly prediction?: Interval | undefined;
  /** The row the protocol chose: set in bold and in the accent colour. */
  readonly chosen?: boolean;
  /** Id of the answer whose number the row prints. */
  readonly answer?: string | undefined;
}

export interface IntervalRowGroup {
  readonly heading: string;
  readonly rows: readonly IntervalRow[];
}

export interface IntervalRowsOptions extends FigureOptions {
  /** Default `rate`. */
  readonly values?: RowValueKind;
  /** Title of the axis. */
  readonly axisTitle?: string;
  /** An upright line: no difference, a nominal level, the protocol's own answer. */
  readonly reference?: number;
  /** What the reference is, said below the picture. */
  readonly referenceMeaning?: string;
  /** Further lines below the picture. */
  readonly notes?: readonly string[];
  /** What the rows are that print no answer; the file of the picture then says so. */
  readonly beside?: BesideKind;
}

/**
 * What does each method, prior or choice answer to the same question?
 *
 * One row an answer: a bar for the interval with a notch at the value, a hatched bracket for what the next study may
 * show; rows without an answer say why.
 *
 * @throws RangeError for an unknown option or a width outside 90 to 400 mm.
 * @example
 * intervalRows([{ heading: 'Interval', rows: [{ label: 'Wald', value: 0.1, interval }] }], { width: '190mm' })
 */
export function intervalRows(groups: readonly IntervalRowGroup[], options: IntervalRowsOptions = {}): string {
  refuseUnknownOptions('intervalRows', options, [
    ...figureOptionNames,
    'values',
    'axisTitle',
    'reference',
    'referenceMeaning',
    'notes',
    'beside',
  ]);
  const kind = chooseFrom('values', options.values, rowValueKinds, 'rate');
  const resolved = resolveFigureOptions(options, {
    title: 'One question, several methods',
    idPrefix: 'rows',
  });
  const { page } = resolved;
  const rows = groups.flatMap((group) => group.rows);
  const axisTitle = options.axisTitle ?? (kind === 'rate' ? 'Per 100 shoulders' : '');
  const columns = rowColumns(page, rows);
  const axis = thinTicks(
    rowAxis(kind, rows, axisTitle, options.reference, page),
    columns.plot[1] - columns.plot[0],
    page.noteSize,
  );
  const write = rowText(kind, rows);
  const sheet = startSheet(resolved);
  const heads = { size: page.noteSize, face: 'semibold', fill: palette.quiet } as const;
  put(sheet, axisTitle, columns.plot[0], sheet.y + page.noteSize, heads);
  put(sheet, 'Value (interval)', columns.textEnd, sheet.y + page.noteSize, { ...heads, anchor: 'end' });
  sheet.y += page.noteSize + 4;
  sheet.marks.push(ruleMark(page.margin, page.width - page.margin, sheet.y, palette.quiet));
  sheet.y += 5;
  const height = page.narrow ? 2 * page.lineHeight + 5 : 17;
  const headingHeight = page.lineHeight + 6;
  // Marks of the plot are placed in axis units; the sheet itself is in points.
  const draw = onAxis(axis, columns.plot, sheet);
  // Grid and reference run behind the bars only, never through the words.
  const behindRow = (): void => {
    const top = page.narrow ? sheet.y + page.lineHeight + 2 : sheet.y;
    draw(gridMark(axis, top, sheet.y + height));
    if (options.reference !== undefined) {
      draw(referenceMark(axis.toAxis(options.reference), top, sheet.y + height, palette.ink, true));
    }
  };
  sheet.marks.push(hatchPattern('rows-hatch', palette.comparison));
  for (const group of groups) {
    put(sheet, group.heading, page.margin, sheet.y + page.textSize + 2, {
      size: page.textSize,
      face: 'bold',
      room: page.width - 2 * page.margin,
    });
    sheet.y += headingHeight;
    for (const row of group.rows) {
      behindRow();
      const drawn = (inner: Sheet): void => {
        putRow(inner, row, axis, columns, page, height, write, onAxis(axis, columns.plot, inner));
        inner.y += height;
      };
      if (row.answer === undefined) putBeside(sheet, options.beside, drawn);
      else putAnswer(sheet, row.answer, drawn);
    }
  }
  draw(tickMarks(axis, sheet.y, page.noteSize));
  sheet.y += page.noteSize + 12;
  const hasPrediction = rows.some(({ prediction }) => prediction !== undefined);
  return drawSheet(sheet, resolved, {
    notes: [
      `Bar with notch: value with its interval.${hasPrediction ? ' Hatched bracket: range expected in a new study.' : ''}${options.referenceMeaning === undefined ? '' : ` Dashed line: ${options.referenceMeaning}.`}`,
      ...(options.notes ?? []),
    ],
    description: describe(groups, write),
  });
}

interface RowColumns {
  readonly labelRoom: number;
  readonly plot: readonly [number, number];
  readonly textEnd: number;
}

function rowColumns(page: PageSize, rows: readonly IntervalRow[]): RowColumns {
  const right = page.width - page.margin;
  if (page.narrow) {
    return { labelRoom: page.width - 2 * page.margin, plot: [page.margin + 4, right - 92], textEnd: right };
  }
  // Long names take room from the plot rather than lose their end, up to where the plot would be too narrow to read.
  const longest = Math.max(0, ...rows.map((row) => textWidth(labelOf(row), page.textSize, labelFace(row))));
  const labelRoom = Math.min(Math.max(224, Math.ceil(longest) + 5), 290);
  return { labelRoom, plot: [page.margin + labelRoom + 12, right - 100], textEnd: right };
}

function rowAxis(
  kind: RowValueKind,
  rows: readonly IntervalRow[],
  title: string,
  reference: number | undefined,
  page: PageSize,
): Axis {
  const values = [
    ...rows.flatMap(({ value }) => (value === undefined ? [] : [value])),
    ...(reference === undefined ? [] : [reference]),
  ];
  const intervals = rows.flatMap(({ interval, prediction }) =>
    [interval, prediction].filter((each) => each !== undefined),
  );
  const tickCount = page.narrow ? 4 : 6;
  if (kind === 'rate') return percentAxis('linear', { rates: values, intervals, title, tickCount });
  if (kind === 'ratio') return effectAxis('log-odds-ratio', { values, intervals, title, tickCount });
  return pointsAxis(
    [...values, ...intervals.flatMap(({ lower, upper }) => [lower, upper])],
    title,
    tickCount,
  );
}

/** Points of a score need no nought on the axis: means of 80 to 85 would be squeezed into a corner by it. */
function pointsAxis(values: readonly number[], title: string, tickCount: number): Axis {
  const least = Math.min(...values);
  const most = Math.max(...values);
  const [lower, upper] =
    values.length === 0 || least === most ? [least - 1, least + 1] : nice(least, most, tickCount);
  const [from, to] = Number.isFinite(lower) ? [lower, upper] : [0, 1];
  return {
    lower: from,
    upper: to,
    ticks: ticks(from, to, tickCount).map((at) => ({ at, text: String(at).replace('-', '\u2212') })),
    title,
    toAxis: (value) => value,
  };
}

type RowText = (row: IntervalRow) => string;

function rowText(kind: RowValueKind, rows: readonly IntervalRow[]): RowText {
  const largest = Math.max(0, ...rows.map(({ value }) => Math.abs(value ?? 0)));
  const decimals = percentDecimals(largest);
  const write = (value: number): string =>
    kind === 'rate'
      ? percentNumber(value, decimals)
      : kind === 'ratio'
        ? ratioNumber(value)
        : fixed(value, largest < 10 ? 2 : 1);
  return ({ value, interval }) =>
    value === undefined
      ? 'no answer'
      : interval === undefined
        ? write(value)
        : `${write(value)} (${write(interval.lower)} to ${write(interval.upper)})`;
}

const labelOf = ({ label, detail }: IntervalRow): string =>
  detail === undefined ? label : `${label}, ${detail}`;

const labelFace = ({ chosen }: IntervalRow): 'semibold' | 'regular' =>
  chosen === true ? 'semibold' : 'regular';

function putRow(
  sheet: Sheet,
  row: IntervalRow,
  axis: Axis,
  columns: RowColumns,
  page: PageSize,
  height: number,
  write: RowText,
  draw: ReturnType<typeof onAxis>,
): void {
  const { textSize, lineHeight, narrow } = page;
  const chosen = row.chosen === true;
  const baseline = narrow ? sheet.y + lineHeight - 1 : sheet.y + height / 2 + 0.33 * textSize;
  const middle = narrow ? sheet.y + 1.45 * lineHeight + 2 : sheet.y + height / 2;
  const colour = chosen ? palette.comparison : palette.quiet;
  put(sheet, labelOf(row), page.margin + 4, baseline, {
    size: textSize,
    face: labelFace(row),
    fill: chosen ? palette.comparison : palette.ink,
    room: columns.labelRoom - 4,
  });
  put(sheet, write(row), columns.textEnd, narrow ? middle + 0.33 * textSize : baseline, {
    size: textSize,
    face: row.value === undefined ? 'italic' : chosen ? 'bold' : 'regular',
    anchor: 'end',
    fill: row.value === undefined ? palette.quiet : palette.ink,
  });
  if (row.value === undefined) return;
  if (row.prediction)
    draw(predictionMark(axis, middle, row.prediction, palette.comparison, 'rows-hatch', 5.2));
  draw(
    pooledMark(
      axis,
      middle,
      row.value,
      row.interval ?? { lower: row.value, upper: row.value, level: 0 },
      colour,
    ),
  );
}

function describe(groups: readonly IntervalRowGroup[], write: RowText): string {
  const parts = groups.map(
    ({ heading, rows }) =>
      `${heading}: ${rows.map((row) => `${row.label}${row.detail === undefined ? '' : ` (${row.detail})`} ${write(row)}`).join('; ')}.`,
  );
  return parts.join(' ');
}
