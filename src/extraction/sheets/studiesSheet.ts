import { z } from 'zod';
import {
  choice,
  count,
  date,
  identifier,
  number,
  reportedIdentifiers,
  requiredChoice,
  requiredNumber,
  requiredText,
  text,
} from '../cells.ts';
import { provenance, studyColumn } from './sharedColumns.ts';

/** Study designs, as a review's protocol may include or exclude them. */
export const studyDesigns = [
  'randomised trial',
  'quasi-randomised trial',
  'prospective cohort',
  'retrospective cohort',
  'case-control',
  'case series',
] as const;
export type StudyDesign = (typeof studyDesigns)[number];

/** What kind of report a row describes. */
export const reportKinds = ['primary', 'follow-up', 'subgroup', 'abstract', 'registry'] as const;
export type ReportKind = (typeof reportKinds)[number];

export const evidenceLevels = ['I', 'II', 'III', 'IV', 'V'] as const;
export const fundingKinds = ['industry', 'public', 'institution', 'mixed', 'none'] as const;

/** studies.csv: one row per report. */
export const studiesColumns = z.strictObject({
  study: identifier(studyColumn),
  label: requiredText({
    meaning: 'Study as it should be printed. Place and year keep people out of the pictures.',
    example: 'Norholt 2014',
    heading: 'required',
  }),
  year: requiredNumber(
    { meaning: 'Year of publication.', example: '2014', heading: 'required' },
    { whole: true, minimum: 1950, maximum: 2100 },
  ),
  country: text({ meaning: 'Where the patients were treated.', example: 'Vardia', heading: 'optional' }),
  cohort: reportedIdentifiers({
    meaning:
      'Name of the group of patients. Two reports of the same patients carry the same name, and the overlap rule of the protocol keeps one. A report that pools several groups names them all, joined by `+`. Blank: the patients appear in this report only.',
    example: 'norholt-cohort',
    heading: 'optional',
  }),
  report_kind: choice(
    { meaning: 'What kind of report this is.', example: 'primary', heading: 'optional' },
    reportKinds,
  ),
  design: requiredChoice(
    {
      meaning: 'Design of the study, as it was done (not as the title has it).',
      example: 'retrospective cohort',
      heading: 'required',
    },
    studyDesigns,
  ),
  level_of_evidence: choice(
    { meaning: 'Level of evidence as printed by the journal.', example: 'III', heading: 'optional' },
    evidenceLevels,
  ),
  centres: count({ meaning: 'Number of hospitals.', unit: 'hospitals', example: '1', heading: 'optional' }),
  surgeons: count({ meaning: 'Number of surgeons.', unit: 'surgeons', example: '2', heading: 'optional' }),
  enrolment_start: date({
    meaning: 'First operation or enrolment.',
    example: '2009-03',
    heading: 'optional',
  }),
  enrolment_end: date({ meaning: 'Last operation or enrolment.', example: '2012-11', heading: 'optional' }),
  follow_up_minimum_months: number(
    {
      meaning: 'Shortest follow-up accepted by the study.',
      unit: 'months',
      example: '24',
      heading: 'optional',
    },
    { minimum: 0, maximum: 600 },
  ),
  follow_up_mean_months: number(
    { meaning: 'Mean follow-up of the whole study.', unit: 'months', example: '31.5', heading: 'optional' },
    { minimum: 0, maximum: 600 },
  ),
  patients_lost: count({
    meaning: 'Patients lost to follow-up.',
    unit: 'patients',
    example: '4',
    heading: 'optional',
  }),
  funding: choice({ meaning: 'Who paid.', example: 'none', heading: 'optional' }, fundingKinds),
  conflicts: text({
    meaning: 'Conflicts of interest as declared.',
    example: 'none declared',
    heading: 'optional',
  }),
  registration: text({ meaning: 'Trial registration number.', example: 'REG-0000', heading: 'optional' }),
  reference: text({
    meaning: 'Where the report can be found: journal, volume, pages, or a digital object identifier.',
    example: 'Invented Journal 12:34',
    heading: 'optional',
  }),
  ...provenance(),
});
