import { type ForestModel, type ForestRow, type ForestSummary, summaryLabels } from './forestModel.ts';
import { levelText } from './formatNumber.ts';
import type { PageSize } from './pageSize.ts';
import { textWidth } from './textWidth.ts';

/** A column of "events / total": both numbers end at a fixed place, so that the strokes line up. */
export interface CountColumn {
  readonly heading: string;
  readonly left: number;
  readonly eventsEnd: number;
  readonly totalEnd: number;
}

/** Where everything stands from left to right, in points. */
export interface ForestColumns {
  readonly nameLeft: number;
  readonly nameRoom: number;
  readonly counts: readonly CountColumn[];
  readonly plot: readonly [left: number, right: number];
  readonly estimateEnd: number;
  readonly lowerEnd: number;
  readonly betweenAt: number;
  readonly upperEnd: number;
  readonly weightEnd: number | undefined;
  readonly intervalHeading: string;
}

const gap = 14;
const strokeRoom = 7;
const widest = (texts: readonly string[], size: number, face: 'regular' | 'semibold'): number =>
  Math.max(0, ...texts.map((text) => textWidth(text, size, face)));

/** Measures every text of every column and gives the plot what is left. */
export function forestColumns(model: ForestModel, page: PageSize): ForestColumns {
  const { textSize, noteSize, margin, width, narrow } = page;
  const rows: readonly (ForestRow | ForestSummary)[] = model.groups.flatMap(
    ({ rows, pooled }): (ForestRow | ForestSummary)[] =>
      pooled === undefined ? [...rows] : [...rows, pooled],
  );
  const checks = model.groups.flatMap(({ beside }) => beside);
  const intervals = [
    ...rows.map(({ interval }) => interval),
    ...checks.map(({ interval }) => interval),
    ...model.groups.map(({ prediction }) => prediction),
  ].filter((interval) => interval !== undefined);
  const estimateWidth = widest(
    [...rows, ...checks].map(({ estimate }) => model.format(estimate)),
    textSize,
    'semibold',
  );
  const lowerWidth = widest(
    intervals.map(({ lower }) => model.format(lower)),
    textSize,
    'semibold',
  );
  const upperWidth = widest(
    intervals.map(({ upper }) => model.format(upper)),
    textSize,
    'semibold',
  );
  const intervalHeading = `${levelText(model.level)} interval`;
  const headingWidth = (text: string) => textWidth(text, noteSize, 'semibold');
  const betweenWidth = textWidth(model.between, textSize) + 6;
  const intervalWidth = Math.max(lowerWidth + betweenWidth + upperWidth, headingWidth(intervalHeading));
  const right = width - margin;
  const nameLeft = margin;
  const longestName = Math.max(
    widest(
      model.groups.flatMap((group) => group.rows.map(({ label }) => label)),
      textSize,
      'regular',
    ),
    widest(
      model.groups.flatMap(({ pooled }) => pooled?.label ?? []),
      textSize,
      'semibold',
    ),
    widest([summaryLabels.prediction, ...checks.map(({ label }) => label)], textSize, 'regular'),
  );
  if (narrow) {
    const countLine = widest(
      rows.map(({ counts }) => stackedCounts(counts)),
      textSize,
      'regular',
    );
    const nameRoom = Math.min(90, Math.max(longestName, countLine) + 1);
    const column = Math.max(intervalWidth, headingWidth(model.estimateHeading), estimateWidth);
    return {
      nameLeft,
      nameRoom,
      counts: [],
      plot: [nameLeft + nameRoom + 10, right - column - 9],
      estimateEnd: right,
      lowerEnd: right - upperWidth - betweenWidth,
      betweenAt: right - upperWidth - betweenWidth / 2,
      upperEnd: right,
      weightEnd: undefined,
      intervalHeading,
    };
  }
  const weightWidth = headingWidth('Weight');
  const upperEnd = right - weightWidth - gap;
  const estimateEnd = upperEnd - intervalWidth - gap + 4;
  const estimateColumn = Math.max(estimateWidth, headingWidth(model.estimateHeading));
  const columnWidths = model.countHeadings.map((heading, index) => {
    const events = widest(
      rows.map(({ counts }) => String(counts[index]?.events ?? '')),
      textSize,
      'semibold',
    );
    const totals = widest(
      rows.map(({ counts }) => String(counts[index]?.total ?? '')),
      textSize,
      'semibold',
    );
    return {
      heading,
      events,
      totals,
      whole: Math.max(events + strokeRoom + totals, Math.min(headingWidth(heading) + 0.5, 84)),
    };
  });
  const countsWidth = columnWidths.reduce((sum, { whole }) => sum + whole + gap, 0);
  const nameRoom = Math.min(longestName + 1, columnWidths.length > 1 ? 110 : 150);
  let left = nameLeft + nameRoom + gap;
  const counts = columnWidths.map(({ heading, totals, whole }): CountColumn => {
    const totalEnd = left + whole;
    const column = { heading, left, totalEnd, eventsEnd: totalEnd - totals - strokeRoom };
    left = totalEnd + gap;
    return column;
  });
  return {
    nameLeft,
    nameRoom,
    counts,
    plot: [nameLeft + nameRoom + gap + countsWidth + 2, estimateEnd - estimateColumn - gap],
    estimateEnd,
    lowerEnd: upperEnd - upperWidth - betweenWidth,
    betweenAt: upperEnd - upperWidth - betweenWidth / 2,
    upperEnd,
    weightEnd: right,
    intervalHeading,
  };
}

/** Counts in one text, for the second line of a stacked row. */
export function stackedCounts(counts: ForestRow['counts']): string {
  const [first, second] = counts;
  if (first === undefined) return '';
  return second === undefined
    ? `${first.events} of ${first.total}`
    : `${first.events}/${first.total} vs ${second.events}/${second.total}`;
}
