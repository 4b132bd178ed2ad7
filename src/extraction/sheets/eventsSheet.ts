import { z } from 'zod';
import { choice, count, number, printedPercent, reference, text } from '../cells.ts';
import { armColumn, provenance, studyColumn } from './sharedColumns.ts';

/** What a time point stands for. */
export const followUpKinds = ['fixed', 'mean', 'median', 'minimum'] as const;

/** events.csv: one row per study, arm, outcome, definition, assessor and time point. */
export const eventsColumns = z.strictObject({
  study: reference(studyColumn),
  arm: reference(armColumn),
  outcome: reference({
    meaning:
      'Outcome, by its id in protocol.json. Revision for the biceps and revision for any cause are two outcomes: a factor of ten can lie between them.',
    example: 'cosmetic-deformity',
    heading: 'required',
  }),
  definition: text({
    meaning: 'What was counted, in the words of the protocol where they fit.',
    example: 'visible bulge',
    heading: 'required',
  }),
  assessor: text({
    meaning: 'Who said so, in the words of the protocol where they fit.',
    example: 'examiner',
    heading: 'required',
  }),
  follow_up_months: number(
    { meaning: 'When it was counted.', unit: 'months', example: '24', heading: 'required' },
    { minimum: 0, maximum: 600 },
  ),
  follow_up_kind: choice(
    { meaning: 'What the time stands for.', example: 'mean', heading: 'optional' },
    followUpKinds,
  ),
  events: count({
    meaning:
      'Shoulders with the event. Type 0 only when the paper says that there was none; blank or NR is not zero.',
    unit: 'shoulders',
    example: '4',
    heading: 'required',
  }),
  eligible_shoulders: count({
    meaning:
      'Shoulders that could have had the event and were looked at. Pain that persists, for one, can persist only in those who had it before.',
    unit: 'shoulders',
    example: '38',
    heading: 'required',
  }),
  percent: printedPercent({
    meaning:
      'Percentage as printed, with its decimals. It checks the count, or gives it when only one whole count fits.',
    unit: '%',
    example: '10.5',
    heading: 'optional',
  }),
  event_patients: count({
    meaning: 'Patients with the event, where the paper counts patients and not shoulders.',
    unit: 'patients',
    example: '4',
    heading: 'optional',
  }),
  eligible_patients: count({
    meaning: 'Patients who could have had the event, where the paper counts patients.',
    unit: 'patients',
    example: '36',
    heading: 'optional',
  }),
  eligible_rule: text({
    meaning: 'Who counts in the denominator, in words.',
    example: 'all with follow-up',
    heading: 'optional',
  }),
  quote: text({
    meaning: 'The sentence of the paper, copied.',
    example: 'a bulge was seen in four shoulders',
    heading: 'optional',
  }),
  ...provenance(),
});
