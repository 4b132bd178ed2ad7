import { didYouMean, listNames } from '../nearestName.ts';
import type { Problem } from '../problem.ts';
import { judgementItems } from '../sheets/judgementsSheet.ts';
import type { PlacedSheets } from './placedSheets.ts';

const same = (a: string, b: string): boolean => a.toLowerCase() === b.toLowerCase();

/** Items and answers the instrument does not have. */
export function checkJudgements(placed: PlacedSheets): readonly Problem[] {
  const problems: Problem[] = [];
  for (const row of placed.judgements) {
    const { tool, item, judgement } = row.values;
    const { items, answers } = judgementItems[tool];
    if (!items.some((each) => same(each, item))) {
      const cure = `${didYouMean(item, items)}${tool} has ${listNames(items)}.`;
      problems.push(row.problem('error', 'item', `an item of ${tool}`, cure));
    }
    if (!answers.some((each) => same(each, judgement))) {
      const cure = `${didYouMean(judgement, answers)}${tool} is answered with ${listNames(answers)}.`;
      problems.push(row.problem('error', 'judgement', `an answer of ${tool}`, cure));
    }
  }
  return problems;
}
