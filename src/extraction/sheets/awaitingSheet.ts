import { z } from 'zod';
import { date, requiredText, text } from '../cells.ts';
import { provenance } from './sharedColumns.ts';

/** awaiting.csv: reports that were found and are not yet in the review. */
export const awaitingColumns = z.strictObject({
  report: requiredText({
    meaning: 'Report that waits, as a reader would look for it.',
    example: 'Invented Journal of Shoulders 36:12',
    heading: 'required',
  }),
  found: date({ meaning: 'Day it was found.', example: '2026-06-30', heading: 'optional' }),
  waits_for: text({
    meaning: 'What it waits for.',
    example: 'full text',
    heading: 'optional',
  }),
  ...provenance(),
});
