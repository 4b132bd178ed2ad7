import { cohortsOf } from '../cohortsOf.ts';
import type { Problem } from '../problem.ts';
import { isReported } from '../reported.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Studies that share patients, have no arms, or end before they start. */
export function checkStudies(placed: PlacedSheets): readonly Problem[] {
  const problems: Problem[] = [];
  const firstOfCohort = new Map<string, string>();
  const { unread } = placed;
  const withArms = new Set(
    [...placed.arms.map((row) => row.values), ...(unread.arms ?? [])].map((row) => row.study),
  );
  for (const row of placed.studies) {
    const { study, label, cohort, enrolmentStart, enrolmentEnd, year } = row.values;
    const cohorts = cohortsOf(cohort);
    const earlier = cohorts.map((each) => firstOfCohort.get(each)).find((each) => each !== undefined);
    for (const each of cohorts) if (!firstOfCohort.has(each)) firstOfCohort.set(each, label);
    if (earlier !== undefined) {
      const cure = `It shares patients with ${earlier}; for each outcome the overlap rule of the protocol keeps one report. If the patients differ, name the cohorts apart.`;
      problems.push(row.problem('warning', 'cohort', 'one report for each cohort', cure));
    }
    if (
      isReported(enrolmentStart) &&
      isReported(enrolmentEnd) &&
      enrolmentEnd < enrolmentStart.slice(0, enrolmentEnd.length)
    ) {
      const cure = 'Check both dates; they may have been swapped.';
      problems.push(row.problem('error', 'enrolment_end', `a date not before ${enrolmentStart}`, cure));
    }
    if (isReported(enrolmentStart) && Number(enrolmentStart.slice(0, 4)) > year) {
      const cure = 'Check the year of publication and the dates of enrolment.';
      problems.push(row.problem('error', 'enrolment_start', `a date not after publication in ${year}`, cure));
    }
    if (unread.arms !== undefined && !withArms.has(study)) {
      const cure = 'Add its arms to arms.csv, or delete the study.';
      problems.push(row.problem('warning', 'study', 'a study with at least one arm', cure));
    }
  }
  if (placed.studies.length === 0 && unread.studies?.length === 0) {
    problems.push({
      severity: 'warning',
      file: 'studies.csv',
      line: 1,
      column: 1,
      value: '',
      expected: 'at least one study',
      cure: 'Fill in a row for each report; rows that start with # are comments.',
    });
  }
  return problems;
}
