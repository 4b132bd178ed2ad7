import { z } from 'zod';
import { choice, count, identifier, number, percent, reference, text } from '../cells.ts';
import { siteEntries } from '../siteEntry.ts';
import { armColumn, provenance, studyColumn } from './sharedColumns.ts';

/** Points that papers measure the height of the fixation from. */
export const landmarks = [
  'articular margin',
  'tendon origin',
  'lower subscapularis',
  'upper pectoralis border',
  'lower pectoralis border',
  'top of humeral head',
  'other',
] as const;
export type Landmark = (typeof landmarks)[number];

/** How the surgeon got there. The approach is not the site. */
export const approaches = [
  'open',
  'mini-open',
  'arthroscopic',
  'arthroscopically assisted',
  'percutaneous',
  'mixed',
] as const;

/** What holds the tendon. */
export const fixations = [
  'interference screw',
  'suture anchor',
  'knotless anchor',
  'all-suture anchor',
  'cortical button',
  'bone tunnel',
  'keyhole',
  'staple',
  'soft tissue',
  'mixed',
  'none',
  'other',
] as const;

export const boneInterfaces = ['inlay', 'onlay', 'soft tissue', 'mixed', 'none'] as const;

/** arms.csv: one row per arm of a study. */
export const armsColumns = z.strictObject({
  study: reference(studyColumn),
  arm: identifier({ ...armColumn, meaning: 'Short name of the arm, unique within its study.' }),
  site_as_reported: text({
    meaning:
      'Where the tendon was fixed or released, in the words of the methods section, copied verbatim. Not the title, and not the approach. NR when the paper does not say.',
    example: 'just proximal to the pectoralis major tendon',
    heading: 'required',
  }),
  site_as_classified: choice(
    {
      meaning:
        'Your own reading of the site, where you are sure. Blank: the words, the distance and the site rule of the protocol decide.',
      example: 'suprapectoral',
      heading: 'required',
    },
    siteEntries,
  ),
  distance_mm: number(
    {
      meaning:
        'Height of the fixation, measured along the tendon from the landmark; towards the elbow is positive, towards the shoulder negative.',
      unit: 'mm',
      example: '40',
      heading: 'optional',
    },
    { minimum: -150, maximum: 200 },
  ),
  distance_from: choice(
    { meaning: 'Landmark the distance was measured from.', example: 'articular margin', heading: 'optional' },
    landmarks,
  ),
  approach: choice(
    {
      meaning: 'Surgical approach. It never decides the site.',
      example: 'arthroscopic',
      heading: 'optional',
    },
    approaches,
  ),
  fixation: choice(
    { meaning: 'What holds the tendon.', example: 'interference screw', heading: 'optional' },
    fixations,
  ),
  inlay_or_onlay: choice(
    {
      meaning: 'Tendon inside a bone socket, on the cortex, or in soft tissue.',
      example: 'inlay',
      heading: 'optional',
    },
    boneInterfaces,
  ),
  concomitant_procedures: text({
    meaning: 'Other procedures in the same operation.',
    example: 'cuff repair, decompression',
    heading: 'optional',
  }),
  cuff_repair_percent: percent({
    meaning: 'Share of the arm that had a rotator cuff repair in the same operation.',
    unit: '%',
    example: '62.5',
    heading: 'optional',
  }),
  indication: text({
    meaning: 'Why the biceps was operated on.',
    example: 'partial tear or instability',
    heading: 'optional',
  }),
  patients_enrolled: count({
    meaning: 'Patients who entered the arm.',
    unit: 'patients',
    example: '40',
    heading: 'optional',
  }),
  shoulders_enrolled: count({
    meaning: 'Shoulders that entered the arm; more than patients when some had both sides done.',
    unit: 'shoulders',
    example: '42',
    heading: 'optional',
  }),
  patients_analysed: count({
    meaning: 'Patients at follow-up.',
    unit: 'patients',
    example: '36',
    heading: 'optional',
  }),
  shoulders_analysed: count({
    meaning: 'Shoulders at follow-up.',
    unit: 'shoulders',
    example: '38',
    heading: 'optional',
  }),
  age_mean_years: number(
    { meaning: 'Mean age at operation.', unit: 'years', example: '54.2', heading: 'optional' },
    { minimum: 10, maximum: 100 },
  ),
  age_sd_years: number(
    { meaning: 'Standard deviation of age.', unit: 'years', example: '9.1', heading: 'optional' },
    { minimum: 0, maximum: 40 },
  ),
  women_percent: percent({ meaning: 'Share of women.', unit: '%', example: '41', heading: 'optional' }),
  body_mass_index_mean: number(
    { meaning: 'Mean body mass index.', unit: 'kg/m²', example: '27.4', heading: 'optional' },
    { minimum: 10, maximum: 80 },
  ),
  dominant_side_percent: percent({
    meaning: 'Share operated on the dominant side.',
    unit: '%',
    example: '63',
    heading: 'optional',
  }),
  workers_compensation_percent: percent({
    meaning: 'Share with a compensation claim.',
    unit: '%',
    example: '12',
    heading: 'optional',
  }),
  sling_weeks: number(
    { meaning: 'Weeks in a sling.', unit: 'weeks', example: '4', heading: 'optional' },
    { minimum: 0, maximum: 52 },
  ),
  follow_up_mean_months: number(
    { meaning: 'Mean follow-up of the arm.', unit: 'months', example: '30', heading: 'optional' },
    { minimum: 0, maximum: 600 },
  ),
  follow_up_minimum_months: number(
    { meaning: 'Shortest follow-up in the arm.', unit: 'months', example: '24', heading: 'optional' },
    { minimum: 0, maximum: 600 },
  ),
  ...provenance(),
});
