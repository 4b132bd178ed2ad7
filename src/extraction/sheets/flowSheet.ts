import { z } from 'zod';
import { requiredChoice, requiredNumber, text } from '../cells.ts';
import { provenance } from './sharedColumns.ts';

/**
 * Steps from search to inclusion, as the PRISMA 2020 flow counts them (Page 2021, BMJ 372:n71). Those of an earlier
 * version are for updates; those beginning with "other" are the parallel column of what was found otherwise than in
 * databases and registers. `reports included` and `studies included` count the whole review.
 */
export const flowStages = [
  'previous studies included',
  'previous reports included',
  'records identified',
  'records removed before screening',
  'records screened',
  'records excluded',
  'reports sought',
  'reports not retrieved',
  'reports assessed',
  'reports excluded',
  'other records identified',
  'other reports sought',
  'other reports not retrieved',
  'other reports assessed',
  'other reports excluded',
  'new studies included',
  'new reports included',
  'reports included',
  'studies included',
] as const;
export type FlowStage = (typeof flowStages)[number];

/** flow.csv: search and selection counts; several rows of one stage (by source or reason) add up. */
export const flowColumns = z.strictObject({
  stage: requiredChoice(
    { meaning: 'Step of the selection.', example: 'reports excluded', heading: 'required' },
    flowStages,
  ),
  detail: text({
    meaning: 'Source searched, or reason for leaving out; rows of the same stage add up.',
    example: 'no result by site',
    heading: 'optional',
  }),
  count: requiredNumber(
    { meaning: 'How many.', unit: 'records, reports or studies', example: '17', heading: 'required' },
    { whole: true, minimum: 0 },
  ),
  ...provenance(),
});
