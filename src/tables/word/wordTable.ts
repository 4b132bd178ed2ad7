import type {
  IBorderOptions,
  ITableCellOptions,
  TableCell as WordCell,
  TableRow as WordRow,
  Table as WordTable,
} from 'docx';
import { footnoteMarks } from '../footnotes.ts';
import {
  cellNotes,
  cellText,
  columnSpans,
  columnsFor,
  groupedRows,
  markedCellText,
  type Table,
  type TableColumn,
} from '../table.ts';
import type { AnswerRuns } from './answerRuns.ts';
import { columnWidths, type PageTurn } from './columnWidths.ts';
import { markSize, wordColours, wordStyleIds } from './wordStyles.ts';

type Docx = typeof import('docx');

/** Twentieths of a point in a millimetre. */
export const twips = (millimetres: number): number => Math.round((millimetres / 25.4) * 1440);

/** Up to this many rows a table is kept on one page. */
const rowsKeptTogether = 10;
/** And rows under one heading up to this many. */
const groupKeptTogether = 6;

/**
 * A table as Word builds one: heading rows that repeat on every page, rows that never split, the first column as
 * heading of its row, horizontal rules only.
 */
export function wordTable(docx: Docx, source: Table, turn: PageTurn, runs: AnswerRuns): WordTable {
  const columns = columnsFor(source, 'page');
  const widths = columnWidths(source, turn).map(twips);
  const marks = footnoteMarks(source);
  const { ink, quiet, hairline, tint } = wordColours;
  const rule = (size: number, color: string): IBorderOptions => ({
    style: docx.BorderStyle.SINGLE,
    size,
    color,
  });
  const none: IBorderOptions = { style: docx.BorderStyle.NONE, size: 0, color: 'auto' };

  const paragraph = (
    text: string,
    keys: readonly string[] | undefined,
    look: {
      align?: 'left' | 'right' | undefined;
      style: string;
      keepNext?: boolean;
      bold?: boolean;
      answer?: string | undefined;
    },
  ) => {
    const mark = marks.of(keys);
    return new docx.Paragraph({
      style: look.style,
      ...(look.align === 'right' && { alignment: docx.AlignmentType.RIGHT }),
      ...(look.keepNext && { keepNext: true }),
      children: [
        ...runs.of(text, look.bold ? { bold: true } : {}, look.answer),
        ...(mark === ''
          ? []
          : [new docx.TextRun({ text: `\u00a0${mark}`, superScript: true, size: markSize })]),
      ],
    });
  };
  const cell = (options: ITableCellOptions) => new docx.TableCell(options);
  const width = (from: number, count: number) => ({
    size: widths.slice(from, from + count).reduce((sum, each) => sum + each, 0),
    type: docx.WidthType.DXA,
  });
  const headingCell = (column: TableColumn, at: number, rowSpan?: number): WordCell =>
    cell({
      width: width(at, 1),
      verticalAlign: docx.VerticalAlign.BOTTOM,
      ...(rowSpan && { rowSpan }),
      borders: { bottom: rule(8, ink) },
      children: [
        paragraph(cellText(column.heading), column.notes, {
          align: column.align,
          style: wordStyleIds.tableHeading,
        }),
      ],
    });

  const spans = columnSpans(columns);
  const grouped = spans.some(({ group }) => group !== undefined);
  const headingRow = (children: readonly WordCell[]) =>
    new docx.TableRow({ children, tableHeader: true, cantSplit: true });
  const headings: WordRow[] = [];
  if (grouped) {
    let at = 0;
    const upper = spans.map(({ group, columns: under }) => {
      const from = at;
      at += under.length;
      if (group === undefined) return headingCell(under[0]!, from, 2);
      return cell({
        width: width(from, under.length),
        columnSpan: under.length,
        verticalAlign: docx.VerticalAlign.BOTTOM,
        borders: { bottom: rule(4, quiet) },
        children: [paragraph(cellText(group), undefined, { style: wordStyleIds.tableHeading })],
      });
    });
    headings.push(headingRow(upper));
    headings.push(
      headingRow(
        columns.flatMap((column, i) => (column.group === undefined ? [] : [headingCell(column, i)])),
      ),
    );
  } else headings.push(headingRow(columns.map((column, at) => headingCell(column, at))));

  const short = source.rows.length <= rowsKeptTogether;
  const last = source.rows.length - 1;
  const body = groupedRows(source).flatMap(({ group, rows }) => [
    ...(group === undefined
      ? []
      : [
          new docx.TableRow({
            cantSplit: true,
            children: [
              cell({
                columnSpan: columns.length,
                width: width(0, columns.length),
                shading: { fill: tint, type: docx.ShadingType.CLEAR, color: 'auto' },
                borders: { bottom: rule(4, hairline) },
                children: [
                  paragraph(cellText(group.heading), group.notes, {
                    style: wordStyleIds.tableText,
                    bold: true,
                    keepNext: true,
                  }),
                ],
              }),
            ],
          }),
        ]),
    ...rows.map(
      ({ row, at }, place) =>
        new docx.TableRow({
          cantSplit: true,
          children: columns.map((column, i) =>
            cell({
              width: width(i, 1),
              borders: { bottom: at === last ? rule(8, ink) : rule(4, hairline) },
              children: [
                paragraph(markedCellText(row[column.key]), cellNotes(row[column.key]), {
                  ...(i === 0 && { answer: source.answers?.[at] }),
                  align: column.align,
                  style: wordStyleIds.tableText,
                  bold: i === 0,
                  // The first row stays with its heading and the last with the one before: no row stands alone.
                  keepNext:
                    at !== last &&
                    (short ||
                      at === last - 1 ||
                      (place === 0 && rows.length > 1) ||
                      (group !== undefined && rows.length <= groupKeptTogether && place < rows.length - 1)),
                }),
              ],
            }),
          ),
        }),
    ),
  ]);
  return new docx.Table({
    rows: [...headings, ...body],
    width: { size: widths.reduce((sum, each) => sum + each, 0), type: docx.WidthType.DXA },
    columnWidths: widths,
    layout: docx.TableLayoutType.FIXED,
    tableLook: {
      firstRow: true,
      firstColumn: true,
      lastRow: false,
      lastColumn: false,
      noHBand: true,
      noVBand: true,
    },
    margins: {
      marginUnitType: docx.WidthType.DXA,
      left: 0,
      right: twips(3.5),
      top: 0,
      bottom: 0,
    },
    borders: {
      top: rule(8, ink),
      bottom: rule(8, ink),
      left: none,
      right: none,
      insideHorizontal: rule(4, hairline),
      insideVertical: none,
    },
  });
}
