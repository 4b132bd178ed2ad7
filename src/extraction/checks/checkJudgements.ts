import {
  deriveOverall,
  gravityOf,
  groupJudgements,
  type JudgementGroup,
  type OverallTool,
  overallTools,
} from '../deriveOverall.ts';
import { didYouMean, listNames } from '../nearestName.ts';
import type { Problem } from '../problem.ts';
import type { PlacedRow } from '../readRow.ts';
import { isReported } from '../reported.ts';
import type { JudgementRow } from '../review.ts';
import {
  answersTo,
  comparativeMinorsItems,
  judgementItems,
  knownAnswer,
  knownItem,
} from '../sheets/judgementsSheet.ts';
import type { PlacedSheets } from './placedSheets.ts';

type Row = PlacedRow<JudgementRow>;

/** Items and answers the instrument does not have, and judgements that break the instrument's own rules. */
export function checkJudgements(placed: PlacedSheets): readonly Problem[] {
  const problems: Problem[] = [];
  const sound: Row[] = [];
  for (const row of placed.judgements) {
    const { tool, item, judgement } = row.values;
    const { items } = judgementItems[tool];
    const itemKnown = knownItem(tool, item) !== undefined;
    if (!itemKnown) {
      const cure = `${didYouMean(item, items)}${tool} has ${listNames(items, items.length)}.`;
      problems.push(row.problem('error', 'item', `an item of ${tool}`, cure));
    }
    if (knownAnswer(tool, item, judgement) === undefined) {
      const answers = answersTo(tool, item);
      const { total } = judgementItems[tool];
      const cure =
        total !== undefined && knownItem(tool, item) === total.item
          ? `The total is a whole number from 0 to ${total.maximum}.`
          : `${didYouMean(judgement, answers)}${tool} is answered with ${listNames(answers)}.`;
      problems.push(row.problem('error', 'judgement', `an answer of ${tool}`, cure));
    } else if (itemKnown) sound.push(row);
  }
  for (const group of groupJudgements(sound, ({ values }) => values)) {
    problems.push(...fitProblems(placed, group));
    if (isOverallTool(group.tool)) problems.push(...overallProblems(group, group.tool));
    else problems.push(...totalProblems(placed, group));
  }
  return problems;
}

const isOverallTool = (tool: string): tool is OverallTool =>
  (overallTools as readonly string[]).includes(tool);

const itemOf = ({ values }: Row): string => knownItem(values.tool, values.item) ?? values.item;
const answerOf = ({ values }: Row): string =>
  knownAnswer(values.tool, values.item, values.judgement) ?? values.judgement;

/** Arms of the study that were extracted; undefined where they cannot be counted. */
function armsOf(placed: PlacedSheets, study: string): number | undefined {
  const { unread } = placed;
  if (unread.arms === undefined || unread.arms.some((each) => each.study === study)) return undefined;
  const arms = placed.arms.filter(({ values }) => values.study === study).length;
  return arms === 0 ? undefined : arms;
}

/** Instruments and items used on a study they were not made for. */
function fitProblems(placed: PlacedSheets, { study, tool, rows }: JudgementGroup<Row>): readonly Problem[] {
  const design = placed.studies.find(({ values }) => values.study === study)?.values.design;
  const single = armsOf(placed, study) === 1;
  const warn = (row: Row, heading: 'tool' | 'item', expected: string, cure: string): Problem =>
    row.problem('warning', heading, expected, cure);
  const first = rows[0]!;
  const randomised = design === 'randomised trial' || design === 'quasi-randomised trial';
  if (tool === 'RoB 2' && design !== undefined && !randomised)
    return [
      warn(
        first,
        'tool',
        'an instrument for this design',
        `RoB 2 judges randomised trials, and the design of ${study} is "${design}".`,
      ),
    ];
  if (tool === 'ROBINS-I' && design === 'randomised trial')
    return [
      warn(
        first,
        'tool',
        'an instrument for this design',
        `ROBINS-I judges studies without randomisation, and the design of ${study} is "${design}".`,
      ),
    ];
  if (!single) return [];
  if (tool === 'Newcastle-Ottawa')
    return [
      warn(
        first,
        'tool',
        'an instrument for one group',
        `${study} has one arm in arms.csv, so comparability and the non-exposed cohort cannot earn stars.`,
      ),
    ];
  return rows
    .filter((row) => tool === 'MINORS' && comparativeMinorsItems.includes(itemOf(row)))
    .map((row) =>
      warn(
        row,
        'item',
        'an item for one group',
        `${study} has one arm in arms.csv; this item is for studies that compare groups, and the sum would be held against 24 instead of 16.`,
      ),
    );
}

/** An overall judgement that the domains do not bear out. */
function overallProblems({ rows }: JudgementGroup<Row>, tool: OverallTool): readonly Problem[] {
  const overall = rows.find((row) => itemOf(row) === 'overall');
  if (overall === undefined) return [];
  const answers = new Map(rows.map((row) => [itemOf(row), answerOf(row)]));
  const derived = deriveOverall(tool, answers);
  const typed = answerOf(overall);
  if (derived === undefined || derived === typed) return [];
  if (tool === 'ROBINS-I' && gravityOf(tool, typed) >= 0 && gravityOf(tool, typed) < gravityOf(tool, derived))
    return [
      overall.problem(
        'error',
        'judgement',
        `"${derived}" or worse`,
        'In ROBINS-I the overall judgement is at least as bad as the worst domain: correct it, or the domain.',
      ),
    ];
  if (isReported(overall.values.reason)) return [];
  return [
    overall.problem(
      'error',
      'judgement',
      `"${derived}", the least favourable domain, or a reason beside it`,
      'Write in the column reason why the overall judgement differs, or correct it.',
    ),
  ];
}

/** A typed sum that the items do not give. */
function totalProblems(placed: PlacedSheets, { study, tool, rows }: JudgementGroup<Row>): readonly Problem[] {
  const total = rows.find((row) => itemOf(row) === 'total');
  if (total === undefined) return [];
  const { items } = judgementItems[tool];
  const asked =
    tool === 'MINORS' && armsOf(placed, study) === 1
      ? items.filter((item) => !comparativeMinorsItems.includes(item))
      : items;
  const answers = new Map(rows.map((row) => [itemOf(row), Number(answerOf(row))]));
  const judged = items.filter((item) => answers.has(item));
  const sum = judged.reduce((points, item) => points + answers.get(item)!, 0);
  const open = asked.filter((item) => !answers.has(item));
  const most = open.reduce((points, item) => points + Math.max(...answersTo(tool, item).map(Number)), sum);
  const typed = Number(answerOf(total));
  if (typed >= sum && typed <= most) return [];
  const expected =
    open.length === 0
      ? `${sum}, the sum of the items`
      : `${sum} to ${most}: the items add up to ${sum} and ${open.length} are not judged`;
  return [
    total.problem('error', 'judgement', expected, 'Correct the total, or the items, or leave the total out.'),
  ];
}
