import { z } from 'zod';
import {
  count,
  number,
  printedStatistic,
  reference,
  reportedReference,
  requiredChoice,
  text,
} from '../cells.ts';
import { armColumn, provenance, studyColumn } from './sharedColumns.ts';

/** What papers print beyond the counts themselves, one word each. */
export const printedStatistics = [
  'percentage',
  'count',
  'p value',
  'odds ratio',
  'odds ratio lower limit',
  'odds ratio upper limit',
  'risk ratio',
  'risk ratio lower limit',
  'risk ratio upper limit',
  'risk difference',
  'mean',
  'standard deviation',
  'standard error',
  'mean lower limit',
  'mean upper limit',
  'patients enrolled',
  'shoulders enrolled',
  'patients analysed',
  'shoulders analysed',
  'patients lost',
] as const;
export type PrintedStatisticName = (typeof printedStatistics)[number];

/** printed.csv: one row per statistic that a paper prints and the audit should hold against the counts. */
export const printedColumns = z.strictObject({
  study: reference(studyColumn),
  outcome: reportedReference({
    meaning:
      'Outcome counted as events or scale, by its id in protocol.json. Blank for numbers of patients and shoulders.',
    example: 'cosmetic-deformity',
    heading: 'required',
  }),
  arm: reportedReference({
    ...armColumn,
    meaning:
      'Arm the statistic is about, as in arms.csv; of a ratio or difference the arm on top or first. Blank for a number of the whole study, or a p value across all its arms.',
  }),
  comparator_arm: reportedReference({
    meaning:
      'Arm it is compared with, as in arms.csv. Blank for a statistic of one arm or of the whole study.',
    example: 'tenotomy',
    heading: 'optional',
  }),
  statistic: requiredChoice(
    { meaning: 'What is printed.', example: 'p value', heading: 'required' },
    printedStatistics,
  ),
  printed: printedStatistic({
    meaning:
      'The value exactly as printed, with all its decimals: `0.040` and not `0.04`, `<.001` with its sign, a count with its denominator as `7/20`.',
    example: '<0.001',
    heading: 'required',
  }),
  test: text({
    meaning: 'Test or method as the paper names it.',
    example: 'chi-square',
    heading: 'optional',
  }),
  follow_up_months: number(
    {
      meaning:
        'Time point of the counts or scores it belongs to. Blank: any time point of events.csv or scores.csv may be meant.',
      unit: 'months',
      example: '24',
      heading: 'optional',
    },
    { minimum: 0, maximum: 600 },
  ),
  events: count({
    meaning: 'Count printed beside it, where it differs from events.csv.',
    unit: 'shoulders',
    example: '10',
    heading: 'optional',
  }),
  total: count({
    meaning:
      'Denominator or number scored printed beside it, where it differs from events.csv or scores.csv.',
    unit: 'shoulders',
    example: '23',
    heading: 'optional',
  }),
  step: number(
    {
      meaning:
        'Smallest step between two answers on the scale, where it is known: 1 for whole numbers. Means and standard deviations are then checked for whether any set of such answers gives them.',
      unit: 'points',
      example: '1',
      heading: 'optional',
    },
    { minimum: 0.001, maximum: 1000 },
  ),
  ...provenance(),
});
