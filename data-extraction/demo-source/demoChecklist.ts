import type { CsvRow } from './demoRows.ts';

const row = (item: string, where: string, comment = ''): CsvRow => ({
  item,
  where_reported: where,
  comment,
  extractor: 'A',
});

/** Where the invented manuscript answers items that no sheet can tell; some are left open on purpose. */
export const demoChecklist: readonly CsvRow[] = [
  row('1', 'page 1, title'),
  row('4', 'page 3, last paragraph of the introduction'),
  row('8', 'page 4, Selection process'),
  row('24a', '', 'the invented review was not registered'),
  row('25', 'page 14, Support'),
  row('26', 'page 14, Interests'),
];
