import { type Problem, sortProblems } from '../problem.ts';
import { readRows } from '../readSheet.ts';
import { isReported } from '../reported.ts';
import { type DecisionRow, decisionsSheet, type PlacedDecision } from './decisionsSheet.ts';

export interface DecisionsReading {
  readonly decisions: readonly PlacedDecision[];
  readonly problems: readonly Problem[];
}

/**
 * What was decided about the disagreements of two extractors?
 *
 * The work list with its last columns filled in. A row whose `taken_from` is blank is not decided yet and is passed over;
 * a decided one must say by whom, when and why. Every problem is reported at once.
 *
 * @example
 * readDecisions(text).problems.map(formatProblem)
 */
export function readDecisions(content: string | Uint8Array): DecisionsReading {
  const { rows, problems } = readRows<DecisionRow>(decisionsSheet, content);
  const found: Problem[] = [...problems];
  const decisions = rows.filter(({ values }) => isReported(values.takenFrom));
  for (const decision of decisions) {
    const { values } = decision;
    const need = (heading: string, there: boolean, what: string): void => {
      if (!there)
        found.push(decision.problem('error', heading, what, 'Whoever decides says who, when and why.'));
    };
    need('decided_by', isReported(values.decidedBy), 'who decided');
    need('date', isReported(values.date), 'the day it was decided, as 2026-07-14');
    need('reason', isReported(values.reason), 'why it was decided so');
  }
  return { decisions, problems: sortProblems(found) };
}
