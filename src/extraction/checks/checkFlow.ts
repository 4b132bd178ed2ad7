import type { Problem } from '../problem.ts';
import { isReported } from '../reported.ts';
import type { FlowStage } from '../sheets/flowSheet.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Each step is what came before it less what fell out. */
const steps: readonly (readonly [FlowStage, FlowStage, FlowStage])[] = [
  ['records identified', 'records removed before screening', 'records screened'],
  ['records screened', 'records excluded', 'reports sought'],
  ['reports sought', 'reports not retrieved', 'reports assessed'],
  ['reports assessed', 'reports excluded', 'reports included'],
];

/** Selection counts that do not add up, and totals that disagree with studies.csv. */
export function checkFlow(placed: PlacedSheets): readonly Problem[] {
  const problems: Problem[] = [];
  const totals = new Map<FlowStage, number>();
  for (const { values } of placed.flow) {
    totals.set(values.stage, (totals.get(values.stage) ?? 0) + values.count);
  }
  const report = (stage: FlowStage, expected: string, cure: string): void => {
    const row = placed.flow.findLast((each) => each.values.stage === stage);
    if (row !== undefined) problems.push(row.problem('warning', 'count', expected, cure));
  };
  for (const [from, out, to] of steps) {
    const [before, fell, after] = [totals.get(from), totals.get(out), totals.get(to)];
    if (before === undefined || fell === undefined || after === undefined || before - fell === after)
      continue;
    report(to, `${before - fell} in all`, `${from} ${before} less ${out} ${fell}: check the three counts.`);
  }
  if (placed.unread.studies?.length !== 0) return problems;
  const reports = totals.get('reports included');
  if (reports !== undefined && reports !== placed.studies.length) {
    report(
      'reports included',
      `${placed.studies.length}, the rows of studies.csv`,
      'Check the count, or add the missing reports.',
    );
  }
  const cohorts = new Set(
    placed.studies.map(({ values }) =>
      isReported(values.cohort) ? `cohort ${values.cohort}` : `study ${values.study}`,
    ),
  ).size;
  const studies = totals.get('studies included');
  if (studies !== undefined && studies !== cohorts) {
    report(
      'studies included',
      `${cohorts}, the distinct cohorts of studies.csv`,
      'Check the count, or the cohorts.',
    );
  }
  return problems;
}
