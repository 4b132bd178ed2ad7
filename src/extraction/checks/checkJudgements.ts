import { didYouMean, listNames } from '../nearestName.ts';
import type { Problem } from '../problem.ts';
import { judgementItems, knownAnswer, knownItem } from '../sheets/judgementsSheet.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Items and answers the instrument does not have. */
export function checkJudgements(placed: PlacedSheets): readonly Problem[] {
  const problems: Problem[] = [];
  for (const row of placed.judgements) {
    const { tool, item, judgement } = row.values;
    const { items, answers } = judgementItems[tool];
    if (knownItem(tool, item) === undefined) {
      const cure = `${didYouMean(item, items)}${tool} has ${listNames(items)}.`;
      problems.push(row.problem('error', 'item', `an item of ${tool}`, cure));
    }
    if (knownAnswer(tool, judgement) === undefined) {
      const cure = `${didYouMean(judgement, answers)}${tool} is answered with ${listNames(answers)}.`;
      problems.push(row.problem('error', 'judgement', `an answer of ${tool}`, cure));
    }
  }
  return problems;
}
