import { slideStyle } from '../../figures/mediaStyles.ts';
import { clampSlideText, slideTextWidth, wrapSlideText } from '../../figures/slideText.ts';
import { cellText, columnsFor, type Table, type TableRow } from '../../tables/table.ts';
import type { Box, Placed, PlacedCell } from './placed.ts';
import { lineSpacing, smallest } from './slideGeometry.ts';

/** Space within a cell, in points: left and right, above and below. */
export const cellPadding = { side: 7, end: 4 } as const;

/** Longer texts end in an ellipsis, so that a heading and one row always fit a slide. */
const mostLines = { heading: 3, cell: 8 } as const;

type PlacedTable = Extract<Placed, { kind: 'table' }>;

/**
 * A table set in a box at the largest size that fits, at most seven rows under its heading; rows that do not fit are
 * handed back for the next slide.
 */
export function placeTable(
  table: Table,
  box: Box,
): { readonly placed: PlacedTable; readonly rest: readonly TableRow[] } {
  const most = Math.min(table.rows.length, slideStyle.mostTableRows);
  for (let count = most; count > 0; count--)
    for (const size of [slideStyle.tableSize, smallest]) {
      const placed = setTable(table, table.rows.slice(0, count), box, size);
      if (placed.box.height <= box.height) return { placed, rest: table.rows.slice(count) };
    }
  return { placed: setTable(table, table.rows.slice(0, 1), box, smallest), rest: table.rows.slice(1) };
}

function setTable(table: Table, rows: readonly TableRow[], box: Box, size: number): PlacedTable {
  const shown = columnsFor(table, 'page');
  const texts = [
    shown.map(({ heading }) => heading),
    ...rows.map((row) => shown.map(({ key }) => cellText(row[key]))),
  ];
  const columns = columnWidths(texts, box.width, size);
  const cells = texts.map((row, line) =>
    row.map((text, at): PlacedCell => {
      const bold = line === 0;
      const width = columns[at]! - 2 * cellPadding.side;
      const shownText = clampSlideText(text, width, size, bold ? mostLines.heading : mostLines.cell, bold);
      return {
        text: shownText,
        lines: wrapSlideText(shownText, width, size, bold),
        bold,
        align: shown[at]?.align ?? 'left',
      };
    }),
  );
  const rowHeights = cells.map(
    (row) => Math.max(1, ...row.map(({ lines }) => lines.length)) * size * lineSpacing + 2 * cellPadding.end,
  );
  return {
    kind: 'table',
    box: { ...box, height: rowHeights.reduce((sum, height) => sum + height, 0) },
    caption: table.caption,
    size,
    columns,
    rowHeights,
    rows: cells,
  };
}

/** Widths as the texts ask, shrunk towards their longest words where they ask for more than there is. */
function columnWidths(texts: readonly (readonly string[])[], room: number, size: number): readonly number[] {
  const count = texts[0]?.length ?? 0;
  const widest = (of: (text: string) => readonly string[]) =>
    Array.from({ length: count }, (_, at) =>
      Math.max(
        ...texts.map((row, line) =>
          Math.max(0, ...of(row[at] ?? '').map((part) => slideTextWidth(part, size, line === 0))),
        ),
      ),
    ).map((width) => width + 2 * cellPadding.side + 1);
  const natural = widest((text) => [text]);
  const least = widest((text) => text.split(' ')).map((width) => Math.min(width, room / count));
  const sum = (widths: readonly number[]): number => widths.reduce((total, width) => total + width, 0);
  const spare = room - sum(natural);
  // What is left goes to the first column, which names the rows.
  if (spare >= 0) return natural.map((width, at) => (at === 0 ? width + spare : width));
  const share = (room - sum(least)) / (sum(natural) - sum(least));
  return natural.map((width, at) => least[at]! + share * (width - least[at]!));
}
