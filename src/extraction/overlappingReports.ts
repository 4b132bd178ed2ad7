import { cohortsOf } from './cohortsOf.ts';
import { type OverlapRule, overlapRules } from './protocol.ts';
import { isReported } from './reported.ts';
import type { StudyRow } from './review.ts';

/** One usable count of a study. */
export interface StudyCount {
  readonly study: StudyRow;
  readonly total: number;
}

const ruleWords: Readonly<Record<OverlapRule, string>> = {
  largest: 'the report with the most shoulders',
  latest: 'the latest report',
  'primary-report': 'the primary report',
};

/**
 * Which studies give way to another report of the same patients, and why?
 *
 * Decided outcome by outcome among studies that have a usable count. Ties go to more shoulders, then
 * the later year, then the earlier row of studies.csv. Where reports overlap in a chain (one pools the patients of two
 * others) they are gone through in that order, and each is kept that shares no cohort with one kept already.
 */
export function overlappingReports(
  counts: readonly StudyCount[],
  rule: OverlapRule,
): ReadonlyMap<string, string> {
  const reports = new Map<StudyRow, number>();
  for (const { study, total } of counts) {
    if (isReported(study.cohort)) reports.set(study, (reports.get(study) ?? 0) + total);
  }
  const inOrder = [...reports].sort(
    ([a, aTotal], [b, bTotal]) =>
      first(rule, a, aTotal, b, bTotal) || bTotal - aTotal || b.year - a.year || a.row.line - b.row.line,
  );
  const reasons = new Map<string, string>();
  const keptFor = new Map<string, StudyRow>();
  for (const [study] of inOrder) {
    const cohorts = cohortsOf(study.cohort);
    const kept = cohorts.map((each) => keptFor.get(each)).find((each) => each !== undefined);
    if (kept === undefined) for (const each of cohorts) keptFor.set(each, study);
    else
      reasons.set(
        study.study,
        `The same patients are in ${kept.label}, which is kept as ${ruleWords[rule]}.`,
      );
  }
  return reasons;
}

function first(rule: OverlapRule, a: StudyRow, aTotal: number, b: StudyRow, bTotal: number): number {
  switch (rule) {
    case 'largest':
      return bTotal - aTotal;
    case 'latest':
      return b.year - a.year;
    case 'primary-report':
      return Number(b.reportKind === 'primary') - Number(a.reportKind === 'primary');
    default:
      throw new RangeError(
        `overlapRule must be one of ${overlapRules.join(', ')}; received "${String(rule)}"`,
      );
  }
}
