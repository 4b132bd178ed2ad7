import { z } from 'zod';
import { requiredText, text } from '../cells.ts';
import { provenance } from './sharedColumns.ts';

/** checklist.csv: where each item of the reporting guideline is answered, as people say it. */
export const checklistColumns = z.strictObject({
  item: requiredText({
    meaning:
      'Item of the PRISMA 2020 checklist, such as `5` or `13d`; `A1` to `A12` are those for the abstract, `S1` to `S5` those of the network extension.',
    example: '24a',
    heading: 'required',
  }),
  where_reported: text({
    meaning: 'Page and section where it is reported. Blank: not answered.',
    example: 'page 4, Registration',
    heading: 'required',
  }),
  comment: text({
    meaning: 'Why it is not answered, or anything an editor should know.',
    example: 'not registered',
    heading: 'optional',
  }),
  ...provenance(),
});
