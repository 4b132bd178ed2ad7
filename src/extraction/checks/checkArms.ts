import { classifySite } from '../classifySite.ts';
import type { Problem } from '../problem.ts';
import { isReported, type Reported } from '../reported.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Arms whose numbers contradict each other or whose site nobody can tell. */
export function checkArms(placed: PlacedSheets): readonly Problem[] {
  const problems: Problem[] = [];
  for (const row of placed.arms) {
    const arm = row.values;
    const notMore = (
      smaller: Reported<number>,
      larger: Reported<number>,
      heading: string,
      words: string,
      cure: string,
    ): void => {
      if (isReported(smaller) && isReported(larger) && smaller > larger) {
        problems.push(row.problem('error', heading, `at most ${larger}, ${words}`, cure));
      }
    };
    const swapped = 'Check both numbers against the paper.';
    notMore(
      arm.patientsEnrolled,
      arm.shouldersEnrolled,
      'patients_enrolled',
      'the shoulders enrolled',
      'Each patient has at least one shoulder in the arm: check both numbers.',
    );
    notMore(
      arm.patientsAnalysed,
      arm.shouldersAnalysed,
      'patients_analysed',
      'the shoulders analysed',
      'Each patient has at least one shoulder in the arm: check both numbers.',
    );
    notMore(
      arm.patientsAnalysed,
      arm.patientsEnrolled,
      'patients_analysed',
      'the patients enrolled',
      swapped,
    );
    notMore(
      arm.shouldersAnalysed,
      arm.shouldersEnrolled,
      'shoulders_analysed',
      'the shoulders enrolled',
      swapped,
    );
    for (const [patients, shoulders, heading] of [
      [arm.patientsEnrolled, arm.shouldersEnrolled, 'shoulders_enrolled'],
      [arm.patientsAnalysed, arm.shouldersAnalysed, 'shoulders_analysed'],
    ] as const) {
      if (isReported(patients) && isReported(shoulders) && shoulders > 2 * patients) {
        problems.push(
          row.problem('error', heading, `at most ${2 * patients}, two for each patient`, swapped),
        );
      }
    }
    if (isReported(arm.distanceMm) !== isReported(arm.distanceFrom)) {
      const blank = isReported(arm.distanceMm) ? 'distance_from' : 'distance_mm';
      const cure = 'A distance needs its landmark and a landmark its distance: fill in both, or neither.';
      problems.push(row.problem('warning', blank, 'a distance together with its landmark', cure));
    }
    if (placed.protocol === undefined) continue;
    const { site, why } = classifySite(arm, placed.protocol.siteRule);
    if (site === 'unclassified') {
      const cure = `${why} The arm stays visible outside the pools; fill in site_as_classified if the paper tells.`;
      const heading = arm.siteAsClassified === 'unclassified' ? 'site_as_classified' : 'site_as_reported';
      problems.push(row.problem('warning', heading, 'words that tell the site', cure));
    }
  }
  return problems;
}
