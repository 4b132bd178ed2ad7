import { provenanceText } from '../extraction/provenance/provenance.ts';
import type { Table } from '../tables/table.ts';
import { clinicalCaution, inventedDataNotice, type PageFacts, showsInventedData } from './pageFacts.ts';

/**
 * The table with a last column, in files only, that says on every row what the page says: that the data are invented,
 * where they are, the clinical caution, and hashes of what the numbers were made from. A row copied out of a file keeps it.
 */
export function noteOnRows(source: Table, facts: PageFacts): Table {
  const made =
    facts.provenance === undefined || facts.dataFrom !== undefined
      ? ''
      : ` Made from ${provenanceText(facts.provenance)}.`;
  const invented = showsInventedData(facts) ? `${inventedDataNotice} ` : '';
  const note = `${invented}${clinicalCaution}${made}`;
  const key = 'note_of_the_page';
  return {
    ...source,
    columns: [...source.columns, { key, heading: key, shownIn: 'file' }],
    rows: source.rows.map((row) => ({ ...row, [key]: note })),
  };
}
