import { didYouMean, listNames } from '../nearestName.ts';
import type { Problem } from '../problem.ts';
import { isReported } from '../reported.ts';
import { rateClaims } from '../sheets/recommendationsSheet.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Recommendations that rest on something the review cannot answer, or do not say what they rest on. */
export function checkRecommendations(placed: PlacedSheets): readonly Problem[] {
  const problems: Problem[] = [];
  const outcomes = placed.protocol?.outcomes.filter(({ kind }) => kind === 'events').map(({ id }) => id);
  const stated = new Set(
    placed.recommendations
      .filter(({ values }) => isReported(values.statement))
      .map(({ values }) => values.recommendation),
  );
  for (const row of placed.recommendations) {
    const { recommendation, outcome, site, comparator, claim, per100 } = row.values;
    const problem = (heading: string, expected: string, cure: string): void => {
      problems.push(row.problem('error', heading, expected, cure));
    };
    if (outcomes !== undefined && !outcomes.includes(outcome)) {
      const cure = `${didYouMean(outcome, outcomes)}Outcomes counted as events: ${listNames(outcomes)}.`;
      problem('outcome', 'an outcome of the protocol counted as events', cure);
    }
    const ofRate = (rateClaims as readonly string[]).includes(claim);
    if (ofRate && !isReported(per100))
      problem('per_100', `a number beside "${claim}"`, 'Give the bound, in events per 100 shoulders.');
    if (ofRate && isReported(comparator))
      problem('comparator', `a blank beside "${claim}"`, 'A claim about a rate has no comparator: clear it.');
    if (!ofRate && !isReported(comparator))
      problem('comparator', `a site beside "${claim}"`, 'Name the site it is set against.');
    if (!ofRate && isReported(per100))
      problem(
        'per_100',
        `a blank beside "${claim}"`,
        'The protocol says which difference matters: clear it.',
      );
    if (isReported(comparator) && comparator === site)
      problem('comparator', 'another site than in the column site', 'A site is not set against itself.');
    if (!stated.has(recommendation))
      problem('statement', 'the recommendation in words', `Write it in one row of "${recommendation}".`);
  }
  return problems;
}
