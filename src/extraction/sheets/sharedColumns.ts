import { type Cell, text } from '../cells.ts';
import type { ColumnMeaning } from '../columnMeaning.ts';
import type { Reported } from '../reported.ts';

/** The study column, the same on every sheet. */
export const studyColumn: ColumnMeaning = {
  meaning: 'Short name of the study, the same on every sheet.',
  example: 'norholt-2014',
  heading: 'required',
};

/** The arm column, the same on every sheet that has arms. */
export const armColumn: ColumnMeaning = {
  meaning: 'Short name of the arm within its study, as in arms.csv.',
  example: 'suprapectoral',
  heading: 'required',
};

/** Where a number was read, by whom, and what else there is to say: the last columns of every sheet. */
export function provenance(): {
  locator: Cell<Reported<string>>;
  notes: Cell<Reported<string>>;
  extractor: Cell<Reported<string>>;
} {
  return {
    locator: text({
      meaning: 'Page, table or figure of the paper the row was read from.',
      example: 'table 2',
      heading: 'optional',
    }),
    notes: text({
      meaning: 'Anything a second reader should know.',
      example: 'denominator from the text',
      heading: 'optional',
    }),
    extractor: text({
      meaning: 'Who typed the row, as initials or a letter.',
      example: 'A',
      heading: 'optional',
    }),
  };
}
