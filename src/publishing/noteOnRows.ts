import type { Table } from '../tables/table.ts';
import { clinicalCaution, inventedDataNotice, type PageFacts, showsInventedData } from './pageFacts.ts';

/**
 * The table with a last column, in files only, that says on every row what the page says: that the data are invented,
 * where they are, and the clinical caution. A row copied out of a file keeps it.
 */
export function noteOnRows(source: Table, facts: PageFacts): Table {
  const note = showsInventedData(facts) ? `${inventedDataNotice} ${clinicalCaution}` : clinicalCaution;
  const key = 'note_of_the_page';
  return {
    ...source,
    columns: [...source.columns, { key, heading: key, shownIn: 'file' }],
    rows: source.rows.map((row) => ({ ...row, [key]: note })),
  };
}
