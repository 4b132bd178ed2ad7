import { stringify } from 'csv-stringify/browser/esm/sync';
import { columnsFor, type Table } from './table.ts';

/**
 * A table as CSV (UTF-8 with byte order mark, CRLF, as spreadsheets expect). Cells that a spreadsheet
 * would run as a formula get an apostrophe in front; caption and notes stay out.
 *
 * @example
 * await writeFile('rates.csv', tableToCsv(ratesBySiteTable(pools)));
 */
export function tableToCsv(source: Table): string {
  const columns = columnsFor(source, 'file');
  return stringify(
    source.rows.map((row) => columns.map((column) => row[column.key] ?? '')),
    {
      header: true,
      columns: columns.map((column, at) => ({ key: String(at), header: column.heading })),
      escape_formulas: true,
      bom: true,
      record_delimiter: 'windows',
    },
  );
}
