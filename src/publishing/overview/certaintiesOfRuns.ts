import type { CertaintyRating } from '../../certainty/certaintyRating.ts';
import type { NotebookRun } from '../notebookRun.ts';

/** How deep in a recorded result a rating may lie. */
const deepest = 6;

function ratingsIn(value: unknown, depth: number, found: CertaintyRating[]): void {
  if (typeof value !== 'object' || value === null || depth > deepest) return;
  if ('kind' in value && value.kind === 'certainty-rating') {
    found.push(value as unknown as CertaintyRating);
    return;
  }
  // Pools and their estimates hold no ratings, and most of the bulk.
  if ('kind' in value && value.kind !== undefined && depth > 0) return;
  for (const member of Object.values(value)) ratingsIn(member, depth + 1, found);
}

/** Ratings of how sure a rate is that some notebook of this run recorded, by `outcome site`. */
export function certaintiesOfRuns(runs: readonly NotebookRun[]): ReadonlyMap<string, CertaintyRating> {
  const found: CertaintyRating[] = [];
  for (const { outputs } of runs)
    for (const { output } of outputs) if (output.kind === 'result') ratingsIn(output.value, 0, found);
  return new Map(
    found.flatMap((rating) =>
      rating.question?.kind === 'rate'
        ? [[`${rating.question.outcome} ${rating.question.site}`, rating] as const]
        : [],
    ),
  );
}
