import { flowCounts } from '../flowCounts.ts';
import type { Problem } from '../problem.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Selection counts that do not add up, and totals that disagree with studies.csv. */
export function checkFlow(placed: PlacedSheets): readonly Problem[] {
  const complete = placed.unread.studies?.length === 0;
  const studies = complete ? placed.studies.map(({ values }) => values) : undefined;
  const { mismatches } = flowCounts(
    placed.flow.map(({ values }) => values),
    studies,
  );
  return mismatches.flatMap(({ row, expected, cure }) => {
    const at = placed.flow.find(({ values }) => values.row.line === row.line);
    return at === undefined ? [] : [at.problem('warning', 'count', expected, cure)];
  });
}
