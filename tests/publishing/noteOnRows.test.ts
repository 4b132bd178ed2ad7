// What leaves a page as a file keeps saying that it is invented and what it is not for.
import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import { noteOnRows } from '../../src/publishing/noteOnRows.ts';
import { clinicalCaution, inventedDataNotice, type PageFacts } from '../../src/publishing/pageFacts.ts';
import { table } from '../../src/tables/table.ts';
import { tableToCsv } from '../../src/tables/tableToCsv.ts';

const facts: PageFacts = {
  reviewTitle: 'A review',
  folder: 'somewhere',
  question: 'Where?',
  inventedData: true,
  notice: undefined,
  lastSearch: '2026-06-30',
  dataFrom: undefined,
  tenositeVersion: '0.1.0',
  nodeVersion: '20',
};
const rates = table({
  caption: 'Rates',
  columns: [{ key: 'site', heading: 'site' }],
  rows: [{ site: 'Tenotomy' }, { site: 'Subpectoral' }],
});

test.each([
  [true, `${inventedDataNotice} ${clinicalCaution}`],
  [false, clinicalCaution],
])('invented data %s: every row of the file says so', (inventedData, note) => {
  const rows = parse(tableToCsv(noteOnRows(rates, { ...facts, inventedData })), { bom: true });
  expect(rows).toEqual([
    ['site', 'note_of_the_page'],
    ['Tenotomy', note],
    ['Subpectoral', note],
  ]);
});
