import { didYouMean } from '../nearestName.ts';
import type { Problem } from '../problem.ts';
import { checklistItems, knownChecklistItem } from '../reportingItems.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Items the checklists do not have. */
export function checkChecklist(placed: PlacedSheets): readonly Problem[] {
  return placed.checklist.flatMap((row) =>
    knownChecklistItem(row.values.item) === undefined
      ? [
          row.problem(
            'error',
            'item',
            'an item of the checklist',
            `${didYouMean(row.values.item, checklistItems)}Items are 1 to 27 (10, 13, 16, 20, 23 and 24 by letter), A1 to A12 and S1 to S5.`,
          ),
        ]
      : [],
  );
}
