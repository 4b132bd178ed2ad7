import { armKey } from '../armKey.ts';
import { definitionText, sameDefinition } from '../definitions.ts';
import { didYouMean, listNames } from '../nearestName.ts';
import type { Problem } from '../problem.ts';
import type { EventsOutcome } from '../protocol.ts';
import type { PlacedRow } from '../readRow.ts';
import { isReported, type Reported } from '../reported.ts';
import type { ArmRow, EventRow } from '../review.ts';
import { wholeCountsFor } from '../wholeCounts.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Counts that contradict their totals, their percentages or their arm. */
export function checkEvents(placed: PlacedSheets): readonly Problem[] {
  const arms = new Map(placed.arms.map((row) => [armKey(row.values), row.values]));
  return placed.events.flatMap((row) => [
    ...totalProblems(row),
    ...percentProblems(row),
    ...armProblems(row, arms.get(armKey(row.values))),
    ...wordingProblems(
      row,
      placed.protocol?.outcomes.find((each) => each.id === row.values.outcome),
    ),
  ]);
}

function totalProblems(row: PlacedRow<EventRow>): readonly Problem[] {
  const { events, eligibleShoulders, eventPatients, eligiblePatients } = row.values;
  const problems: Problem[] = [];
  const compare = (
    count: Reported<number>,
    total: Reported<number>,
    heading: string,
    totalHeading: string,
  ): void => {
    if (!isReported(count) || !isReported(total) || count <= total) return;
    const cure = `Check the paper: the two may be swapped, or the count may be of another group than ${totalHeading}.`;
    problems.push(row.problem('error', heading, `at most ${total}, the ${totalHeading}`, cure));
  };
  compare(events, eligibleShoulders, 'events', 'eligible_shoulders');
  compare(eventPatients, eligiblePatients, 'event_patients', 'eligible_patients');
  compare(eventPatients, events, 'event_patients', 'events');
  compare(eligiblePatients, eligibleShoulders, 'eligible_patients', 'eligible_shoulders');
  if (eligibleShoulders === 0) {
    const cure =
      'Delete the row when nobody could have had the event, or type NR when the paper does not say how many.';
    problems.push(row.problem('error', 'eligible_shoulders', 'at least one shoulder', cure));
  }
  return problems;
}

function percentProblems(row: PlacedRow<EventRow>): readonly Problem[] {
  const { events, eligibleShoulders, percent } = row.values;
  if (!isReported(percent) || !isReported(eligibleShoulders) || eligibleShoulders === 0) return [];
  const printed = percent.value.toFixed(percent.decimals);
  const fitting = wholeCountsFor(percent, eligibleShoulders);
  const leaveBlank =
    'If the paper itself contradicts this, leave percent blank and copy its words into quote.';
  if (fitting.length === 0) {
    const cure = `Check eligible_shoulders against the paper. ${leaveBlank}`;
    return [
      row.problem(
        'error',
        'percent',
        `a percentage that some whole count of ${eligibleShoulders} shoulders gives`,
        cure,
      ),
    ];
  }
  if (!isReported(events)) {
    const cure =
      fitting.length === 1
        ? `The count ${fitting[0]} of ${eligibleShoulders} is worked out from it, the only one that prints as ${printed} %. Type it if the paper confirms it.`
        : `The row is left out: ${fitting.length} whole counts of ${eligibleShoulders} print as ${printed} %. Look for the count in the text.`;
    return [row.problem('warning', 'events', 'the count beside its percentage', cure)];
  }
  if (events > eligibleShoulders || fitting.includes(events)) return [];
  const given = ((100 * events) / eligibleShoulders).toFixed(percent.decimals);
  const cure = `${events} of ${eligibleShoulders} is ${given} %; ${printed} % would be ${listCounts(fitting)}. Check all three. ${leaveBlank}`;
  return [row.problem('error', 'percent', `${given}, which events and eligible_shoulders give`, cure)];
}

const listCounts = (counts: readonly number[]): string =>
  counts.length > 3 ? `${counts[0]} to ${counts.at(-1)}` : counts.join(' or ');

function armProblems(row: PlacedRow<EventRow>, arm: ArmRow | undefined): readonly Problem[] {
  if (arm === undefined) return [];
  const { eligibleShoulders, eligiblePatients } = row.values;
  const problems: Problem[] = [];
  const compare = (
    total: Reported<number>,
    enrolled: Reported<number>,
    heading: string,
    armHeading: string,
  ): void => {
    if (!isReported(total) || !isReported(enrolled) || total <= enrolled) return;
    const cure = `Line ${arm.row.line} of arms.csv has ${armHeading} ${enrolled}: check both against the paper.`;
    problems.push(row.problem('error', heading, `at most the ${enrolled} of the arm`, cure));
  };
  compare(eligibleShoulders, arm.shouldersEnrolled, 'eligible_shoulders', 'shoulders_enrolled');
  compare(eligiblePatients, arm.patientsEnrolled, 'eligible_patients', 'patients_enrolled');
  if (problems.length > 0) return problems;
  if (
    isReported(eligibleShoulders) &&
    isReported(arm.shouldersAnalysed) &&
    eligibleShoulders > arm.shouldersAnalysed
  ) {
    const cure = `Line ${arm.row.line} of arms.csv has shoulders_analysed ${arm.shouldersAnalysed}: say in eligible_rule why more could be counted, or correct one of them.`;
    problems.push(
      row.problem(
        'warning',
        'eligible_shoulders',
        `at most the ${arm.shouldersAnalysed} analysed in the arm`,
        cure,
      ),
    );
  }
  return problems;
}

const sameWords = (a: string, b: string): boolean => a.toLowerCase() === b.toLowerCase();

/** Definitions and assessors the protocol does not accept are legitimate, but may be slips. */
function wordingProblems(
  row: PlacedRow<EventRow>,
  outcome: { readonly kind: string } | undefined,
): readonly Problem[] {
  if (outcome === undefined || outcome.kind !== 'events') return [];
  const { definitions, assessors } = outcome as EventsOutcome;
  const problems: Problem[] = [];
  for (const [heading, value, accepted] of [
    ['definition', row.values.definition, definitions],
    ['assessor', row.values.assessor, assessors],
  ] as const) {
    const same = heading === 'definition' ? sameDefinition : sameWords;
    if (accepted.some((word) => same(word, value))) continue;
    const names = accepted.map(definitionText);
    const cure = `${didYouMean(value, names)}The protocol accepts ${listNames(names)}; a row with other words stays in the list of rows left out.`;
    problems.push(
      row.problem(
        'warning',
        heading,
        `${heading === 'assessor' ? 'an' : 'a'} ${heading} the protocol accepts`,
        cure,
      ),
    );
  }
  return problems;
}
