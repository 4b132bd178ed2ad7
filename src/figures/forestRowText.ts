import type { Count } from '../effects/estimate.ts';
import type { Interval } from '../numerics/interval.ts';
import { type ForestColumns, stackedCounts } from './forestColumns.ts';
import type { ForestModel } from './forestModel.ts';
import { fixed } from './formatNumber.ts';
import type { PageSize } from './pageSize.ts';
import { palette } from './palette.ts';
import { put, type Sheet } from './sheet.ts';

export interface RowText {
  readonly label: string;
  readonly face: 'regular' | 'semibold';
  readonly colour: string;
  readonly counts: readonly (Count | undefined)[];
  readonly estimate: number | undefined;
  readonly interval: Interval | undefined;
  /** Share of the weight; `undefined` leaves the cell empty, `'none'` writes a dash. */
  readonly weight: number | 'none' | undefined;
}

/** Height of a row: one line where columns stand side by side, two where they are stacked. */
export const rowHeight = (page: PageSize, lines: 1 | 2 = 2): number =>
  page.narrow && lines === 2 ? 2 * page.lineHeight + 2.6 : page.narrow ? 12.4 : 13.4;

/** Writes the texts of a row whose top is at `top`. */
export function putRowText(
  sheet: Sheet,
  row: RowText,
  top: number,
  lines: 1 | 2,
  columns: ForestColumns,
  model: ForestModel,
  page: PageSize,
): void {
  const { textSize, lineHeight, narrow } = page;
  const { face } = row;
  const stacked = narrow && lines === 2;
  const first = stacked ? top + 1.3 + 0.8 * lineHeight : top + rowHeight(page, lines) / 2 + 0.33 * textSize;
  const second = stacked ? first + lineHeight : first;
  const number = { size: textSize, face, anchor: 'end' } as const;
  put(sheet, row.label, columns.nameLeft, first, {
    size: textSize,
    face,
    fill: row.colour,
    room: columns.nameRoom,
    className: 'name',
  });
  if (row.estimate !== undefined)
    put(sheet, model.format(row.estimate), columns.estimateEnd, first, { ...number, className: 'estimate' });
  if (row.interval !== undefined) {
    const quiet = narrow && face === 'regular' ? { fill: palette.quiet } : {};
    put(sheet, model.format(row.interval.lower), columns.lowerEnd, second, { ...number, ...quiet });
    put(sheet, model.between, columns.betweenAt, second, {
      size: textSize,
      anchor: 'middle',
      fill: palette.quiet,
    });
    put(sheet, model.format(row.interval.upper), columns.upperEnd, second, { ...number, ...quiet });
  }
  if (stacked) {
    const counts = stackedCounts(row.counts);
    if (counts !== '')
      put(sheet, counts, columns.nameLeft, second, {
        size: textSize,
        fill: palette.quiet,
        room: columns.nameRoom,
        className: 'counts',
      });
    return;
  }
  for (const [index, column] of columns.counts.entries()) {
    const count = row.counts[index];
    if (count === undefined) continue;
    put(sheet, String(count.events), column.eventsEnd, first, { ...number, className: 'events' });
    put(sheet, '/', column.eventsEnd + 3.5, first, { size: textSize, anchor: 'middle', fill: palette.quiet });
    put(sheet, String(count.total), column.totalEnd, first, { ...number, className: 'total' });
  }
  if (columns.weightEnd !== undefined && row.weight !== undefined)
    put(
      sheet,
      row.weight === 'none' ? '\u2013' : `${fixed(100 * row.weight, row.weight < 0.0995 ? 1 : 0)}\u00a0%`,
      columns.weightEnd,
      first,
      { ...number, fill: palette.quiet, className: 'weight' },
    );
}
