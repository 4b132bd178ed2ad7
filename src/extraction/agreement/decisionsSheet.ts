import { z } from 'zod';
import { choice, date, requiredText, text } from '../cells.ts';
import type { PlacedRow } from '../readRow.ts';
import type { Reported } from '../reported.ts';
import type { RowAddress } from '../rowAddress.ts';

/** Whose value a decision takes. */
export const takenFromChoices = ['first', 'second', 'neither'] as const;
export type TakenFrom = (typeof takenFromChoices)[number];

const optional = (meaning: string, example: string) => text({ meaning, example, heading: 'optional' });

/** decisions.csv: the work list with what was decided; one row per disagreement. */
export const decisionsSheet = {
  file: 'decisions.csv',
  columns: z.strictObject({
    file: requiredText({
      meaning: 'File of the disagreement, as in the work list.',
      example: 'events.csv',
      heading: 'required',
    }),
    row: requiredText({
      meaning: 'Key columns of the row, as in the work list.',
      example: 'norholt-2014 | suprapectoral | revision',
      heading: 'required',
    }),
    column: requiredText({
      meaning: 'Column, or `(whole row)`, as in the work list.',
      example: 'events',
      heading: 'required',
    }),
    first_value: text({
      meaning: 'What the first extractor had when it was decided.',
      example: '4',
      heading: 'required',
    }),
    second_value: text({
      meaning: 'What the second extractor had when it was decided.',
      example: '14',
      heading: 'required',
    }),
    taken_from: choice(
      {
        meaning: 'Whose value stands; `neither` when both were wrong. Blank: not decided yet.',
        example: 'second',
        heading: 'required',
      },
      takenFromChoices,
    ),
    decided_value: text({
      meaning: 'The value that stands. Needed with `neither`; NR when the paper does not say.',
      example: '14',
      heading: 'required',
    }),
    decided_by: text({ meaning: 'Who decided, as initials.', example: 'A and B', heading: 'required' }),
    date: date({ meaning: 'When.', example: '2026-07-14', heading: 'required' }),
    reason: text({
      meaning: 'Why, with the words of the paper.',
      example: 'table 2 gives 14; 4 is a slip of the keyboard',
      heading: 'required',
    }),
    first_line: optional('Line in the first folder; for reading only.', '12'),
    second_line: optional('Line in the second folder; for reading only.', '12'),
    first_locator: optional('Where the first extractor read it; for reading only.', 'table 2'),
    second_locator: optional('Where the second extractor read it; for reading only.', 'table 2'),
    difference: optional('Kind of disagreement; for reading only.', 'number'),
    group: optional('What depends on it; for reading only.', 'a number of a protocol outcome: events.csv'),
    hint: optional('What probably happened; for reading only.', 'The decimal point may have slipped.'),
  }),
} as const;

/** A row of decisions.csv under the names code uses. */
export interface DecisionRow {
  readonly file: string;
  readonly row: RowAddress;
  readonly column: string;
  readonly firstValue: Reported<string>;
  readonly secondValue: Reported<string>;
  readonly takenFrom: Reported<TakenFrom>;
  readonly decidedValue: Reported<string>;
  readonly decidedBy: Reported<string>;
  readonly date: Reported<string>;
  readonly reason: Reported<string>;
}
export type PlacedDecision = PlacedRow<DecisionRow>;
