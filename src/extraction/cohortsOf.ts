import { isReported, type Reported } from './reported.ts';

/**
 * Groups of patients a report is about: several where it pools them, none where it names none.
 *
 * @example
 * cohortsOf('norholt+registry-east') // ['norholt', 'registry-east']
 */
export const cohortsOf = (cohort: Reported<string>): readonly string[] =>
  isReported(cohort) ? cohort.split('+').filter((each) => each !== '') : [];
