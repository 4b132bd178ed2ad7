import { stringify } from 'csv-stringify/browser/esm/sync';
import { withoutAnswerMarks } from '../wording/answerMark.ts';
import { sourcesText } from './rowSources.ts';
import {
  type CellValue,
  cellNotes,
  cellText,
  cellValue,
  columnsFor,
  fullHeading,
  groupedRows,
  type Table,
} from './table.ts';

const plainValue = (value: CellValue): string | number =>
  typeof value === 'string' ? withoutAnswerMarks(value) : (value ?? '');

/**
 * A table as CSV (UTF-8 with byte order mark, CRLF, as spreadsheets expect). Cells that a spreadsheet
 * would run as a formula get an apostrophe in front; caption and notes stay out.
 *
 * A heading over rows becomes a first column, a heading over columns goes in front of theirs, footnotes become a
 * column of the rows they explain (those of a column or a heading stand in the first row under it), and the sheet
 * lines of a row become the last column; before them stands the id of the answer whose number the row prints.
 *
 * @example
 * await writeFile('rates.csv', tableToCsv(ratesBySiteTable(pools)));
 */
export function tableToCsv(source: Table): string {
  const columns = columnsFor(source, 'file');
  const texts = new Map((source.footnotes ?? []).map(({ key, text }) => [key, text]));
  const explain = (name: string, keys: readonly string[] | undefined) =>
    (keys ?? []).map((key) => (name === '' ? (texts.get(key) ?? '') : `${name}: ${texts.get(key) ?? ''}`));
  const rows = groupedRows(source).flatMap(({ group, rows }) =>
    rows.map(({ row, at }, place) => [
      ...(source.rowGroups === undefined ? [] : [group?.heading ?? '']),
      ...columns.map((column) => plainValue(cellValue(row[column.key]))),
      ...(source.footnotes === undefined
        ? []
        : [
            [
              ...(at === 0
                ? columnsFor(source, 'page').flatMap((column) => explain(fullHeading(column), column.notes))
                : []),
              ...(place === 0 ? explain(group?.heading ?? '', group?.notes) : []),
              ...columnsFor(source, 'page').flatMap((column) =>
                explain(column.heading, cellNotes(row[column.key])),
              ),
            ]
              .map(cellText)
              .join(' | '),
          ]),
      ...(source.answers === undefined ? [] : [source.answers[at] ?? '']),
      ...(source.sources === undefined ? [] : [sourcesText(source.sources[at] ?? [])]),
    ]),
  );
  const headings = [
    ...(source.rowGroups === undefined ? [] : ['Group']),
    ...columns.map(fullHeading),
    ...(source.footnotes === undefined ? [] : ['Footnotes']),
    ...(source.answers === undefined ? [] : ['Answer']),
    ...(source.sources === undefined ? [] : ['Sheet and line']),
  ];
  return stringify(rows, {
    header: true,
    columns: headings.map((header, at) => ({ key: String(at), header })),
    escape_formulas: true,
    bom: true,
    record_delimiter: 'windows',
  });
}
