import { cohortsOf } from './cohortsOf.ts';
import { overlappingReports } from './overlappingReports.ts';
import type { OverlapRule } from './protocol.ts';
import { isReported } from './reported.ts';
import type { Review, StudyRow } from './review.ts';

/** One report of a cluster. */
export interface ClusterReport {
  readonly study: StudyRow;
  /** Shoulders of its arms, analysed or else enrolled; undefined where an arm gives neither. */
  readonly shoulders: number | undefined;
  /** Why it gives way; undefined for a report that stands. */
  readonly givesWay: string | undefined;
}

/** Reports that share patients, directly or through another report. */
export interface OverlapCluster {
  readonly cohorts: readonly string[];
  readonly reports: readonly ClusterReport[];
  readonly rule: OverlapRule;
}

/**
 * Which reports share patients, and which of them stands for the rest?
 *
 * Reports that name a common cohort are linked, and so are those linked through a third. Within a cluster the rule of the
 * protocol puts the reports in order; going down, each stands that shares no cohort with one that stands already. Here
 * all shoulders of a report count; for each outcome {@link overlappingReports} decides again among reports that have it.
 *
 * @example
 * overlapClusters(review)[0]?.reports.find(({ givesWay }) => givesWay === undefined)
 */
export function overlapClusters(
  review: Pick<Review, 'protocol' | 'studies' | 'arms'>,
): readonly OverlapCluster[] {
  const rule = review.protocol.overlapRule;
  const clusters: { cohorts: Set<string>; studies: StudyRow[] }[] = [];
  for (const study of review.studies) {
    const cohorts = cohortsOf(study.cohort);
    if (cohorts.length === 0) continue;
    const joined = clusters.filter((cluster) => cohorts.some((each) => cluster.cohorts.has(each)));
    const whole = {
      cohorts: new Set([...joined.flatMap((cluster) => [...cluster.cohorts]), ...cohorts]),
      studies: [...joined.flatMap((cluster) => cluster.studies), study],
    };
    for (const cluster of joined) clusters.splice(clusters.indexOf(cluster), 1);
    clusters.push(whole);
  }
  return clusters
    .filter(({ studies }) => studies.length > 1)
    .map(({ cohorts, studies }) => {
      const shoulders = (study: StudyRow): number | undefined => {
        const counts = review.arms
          .filter((arm) => arm.study === study.study)
          .map((arm) => [arm.shouldersAnalysed, arm.shouldersEnrolled].find(isReported));
        const known = counts.filter((each) => each !== undefined);
        return known.length < counts.length ? undefined : known.reduce((sum, each) => sum + each, 0);
      };
      const reasons = overlappingReports(
        studies.map((study) => ({ study, total: shoulders(study) ?? 0 })),
        rule,
      );
      const reports = studies.map((study) => ({
        study,
        shoulders: shoulders(study),
        givesWay: reasons.get(study.study),
      }));
      return { cohorts: [...cohorts].sort(), reports, rule };
    });
}

/** Two reports that may share patients although no cohort says so. */
export interface SuspectedOverlap {
  readonly first: StudyRow;
  readonly second: StudyRow;
  /** What they have in common, in words. */
  readonly because: string;
}

/**
 * Which reports might share patients although they name no common cohort?
 *
 * Those that agree in country, number of hospitals and number of surgeons and whose years of enrolment overlap. Only a suspicion:
 * nothing is left out because of it. Where one of the four is not reported there is no suspicion, so that an empty list is no proof.
 *
 * @example
 * suspectedOverlaps(review).map(({ first, second, because }) => `${first.label}, ${second.label}: ${because}`)
 */
export function suspectedOverlaps(review: Pick<Review, 'studies'>): readonly SuspectedOverlap[] {
  const { studies } = review;
  return studies.flatMap((first, at) =>
    studies.slice(at + 1).flatMap((second): SuspectedOverlap[] => {
      const shared = cohortsOf(first.cohort).some((each) => cohortsOf(second.cohort).includes(each));
      const same = (['country', 'centres', 'surgeons'] as const).every(
        (key) =>
          isReported(first[key]) && String(first[key]).toLowerCase() === String(second[key]).toLowerCase(),
      );
      if (shared || !same || !enrolmentsMeet(first, second)) return [];
      const because = `${first.country}, ${first.centres} ${first.centres === 1 ? 'hospital' : 'hospitals'}, ${first.surgeons} ${first.surgeons === 1 ? 'surgeon' : 'surgeons'}, enrolled ${String(first.enrolmentStart)} to ${String(first.enrolmentEnd)} and ${String(second.enrolmentStart)} to ${String(second.enrolmentEnd)}`;
      return [{ first, second, because }];
    }),
  );
}

/** Do the two periods of enrolment touch? Dates compare as text; a year alone covers all of it. */
function enrolmentsMeet(first: StudyRow, second: StudyRow): boolean {
  const dates = [first.enrolmentStart, first.enrolmentEnd, second.enrolmentStart, second.enrolmentEnd];
  if (!dates.every(isReported)) return false;
  const [start1 = '', end1 = '', start2 = '', end2 = ''] = dates;
  return start1 <= `${end2}~` && start2 <= `${end1}~`;
}
