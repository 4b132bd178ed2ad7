import { armKey } from '../armKey.ts';
import { didYouMean, listNames } from '../nearestName.ts';
import type { Problem } from '../problem.ts';
import type { PlacedRow } from '../readRow.ts';
import { isReported, type Reported } from '../reported.ts';
import type { PrintedRow } from '../review.ts';
import type { PrintedStatisticName } from '../sheets/printedSheet.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Statistics that compare two arms, or all of them. */
export const comparesArms = (statistic: PrintedStatisticName): boolean =>
  statistic === 'p value' || statistic.startsWith('odds ratio') || statistic.startsWith('risk ');

/** Numbers of patients and shoulders, which belong to no outcome. */
export const countsPeople = (statistic: PrintedStatisticName): boolean =>
  statistic.startsWith('patients ') || statistic.startsWith('shoulders ');

/** Printed statistics that point at nothing the other sheets hold, or lack what they are about. */
export function checkPrinted(placed: PlacedSheets): readonly Problem[] {
  return placed.printed.flatMap((row) => [...nameProblems(placed, row), ...shapeProblems(row)]);
}

function nameProblems(placed: PlacedSheets, row: PlacedRow<PrintedRow>): readonly Problem[] {
  const problems: Problem[] = [];
  const { study, arm, comparatorArm, outcome } = row.values;
  const { unread, protocol } = placed;
  const studies = placed.studies.map(({ values }) => values.study);
  const unreadStudies = (unread.studies ?? []).map((each) => each.study);
  const strange = unread.studies !== undefined && ![...studies, ...unreadStudies].includes(study);
  if (strange) {
    const cure = `${didYouMean(study, studies)}Correct the name, or add the study to studies.csv.`;
    problems.push(row.problem('error', 'study', 'a study of studies.csv', cure));
  }
  const known = new Set([...placed.arms.map(({ values }) => values), ...(unread.arms ?? [])].map(armKey));
  const checkArm = (heading: string, name: Reported<string>): void => {
    if (strange || unread.arms === undefined || !isReported(name) || known.has(armKey({ study, arm: name })))
      return;
    const arms = placed.arms.filter(({ values }) => values.study === study).map(({ values }) => values.arm);
    const cure = `${didYouMean(name, arms)}Arms of this study: ${listNames(arms)}.`;
    problems.push(row.problem('error', heading, 'an arm of this study in arms.csv', cure));
  };
  checkArm('arm', arm);
  checkArm('comparator_arm', comparatorArm);
  if (protocol === undefined || !isReported(outcome)) return problems;
  const names = [
    ...protocol.outcomes.filter(({ kind }) => kind === 'events').map(({ id }) => id),
    ...protocol.scales.map(({ id }) => id),
  ];
  if (!names.includes(outcome)) {
    const cure = `${didYouMean(outcome, names)}Outcomes counted as events and scales: ${listNames(names)}.`;
    problems.push(row.problem('error', 'outcome', 'an outcome counted as events, or a scale', cure));
  }
  return problems;
}

function shapeProblems(row: PlacedRow<PrintedRow>): readonly Problem[] {
  const { statistic, outcome, arm, comparatorArm, printed } = row.values;
  const problems: Problem[] = [];
  const say = (heading: string, expected: string, cure: string): void => {
    problems.push(row.problem('error', heading, expected, cure));
  };
  if (countsPeople(statistic)) {
    if (isReported(outcome))
      say('outcome', 'a blank', `"${statistic}" belongs to no outcome: leave it blank.`);
  } else if (!isReported(outcome)) {
    say('outcome', 'the outcome or scale it is about', `Fill in what the ${statistic} is about.`);
  }
  const alone = !comparesArms(statistic) && !countsPeople(statistic);
  if (alone && !isReported(arm))
    say('arm', 'the arm it is about', `A ${statistic} belongs to one arm: name it.`);
  const pairNeeded = comparesArms(statistic) && statistic !== 'p value';
  if (pairNeeded && !isReported(arm))
    say('arm', 'the arm on top', 'Name the arm that stands first or on top.');
  if (pairNeeded && !isReported(comparatorArm))
    say('comparator_arm', 'the arm it is compared with', `The ${statistic} needs two arms: name the other.`);
  if (!comparesArms(statistic) && isReported(comparatorArm))
    say('comparator_arm', 'a blank', `A ${statistic} compares no arms: leave it blank.`);
  if (isReported(arm) && arm === comparatorArm)
    say('comparator_arm', 'another arm', 'An arm is not compared with itself: correct one of the two.');
  if (isReported(comparatorArm) && !isReported(arm))
    say('arm', 'the other arm', 'Name both arms, or neither for a p value across all arms.');
  if (printed.denominator !== undefined && statistic !== 'count')
    say(
      'printed',
      'one number',
      'Only a count is typed with its denominator; choose "count", or type one number.',
    );
  if (statistic === 'p value' && (printed.value < 0 || printed.value > 1))
    say('printed', 'a number from 0 to 1', 'A p value lies between 0 and 1: check the decimal point.');
  return problems;
}
