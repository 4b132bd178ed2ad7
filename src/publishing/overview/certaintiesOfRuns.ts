import { type CertaintyLevel, certaintyLevels } from '../../certainty/certaintyRating.ts';
import type { NotebookRun } from '../notebookRun.ts';

/** What a recorded rating says of a rate: undefined where no study answers, and whether people have confirmed it. */
export interface RecordedCertainty {
  readonly level: CertaintyLevel | undefined;
  readonly confirmed: boolean;
}

/** How deep in a recorded result a rating may lie. */
const deepest = 4;

/** Ratings within a recorded result, by the question and the confirmation each carries. */
function gather(value: unknown, depth: number, found: Map<string, RecordedCertainty>): void {
  if (typeof value !== 'object' || value === null || depth > deepest) return;
  const { question, confirmed, level } = value as Readonly<Record<string, unknown>>;
  if (typeof question === 'object' && question !== null && typeof confirmed === 'boolean') {
    const { kind, outcome, site } = question as Readonly<Record<string, unknown>>;
    if (kind === 'rate')
      found.set(`${outcome} ${site}`, {
        level: certaintyLevels.find((known) => known === level),
        confirmed,
      });
    return;
  }
  // Pools and their estimates hold no ratings, and most of the bulk.
  if ('kind' in value && depth > 0) return;
  for (const member of Object.values(value)) gather(member, depth + 1, found);
}

/** How sure each rate is, where a notebook of this run recorded it, by `outcome site`. */
export function certaintiesOfRuns(runs: readonly NotebookRun[]): ReadonlyMap<string, RecordedCertainty> {
  const found = new Map<string, RecordedCertainty>();
  for (const { outputs } of runs)
    for (const { output } of outputs) if (output.kind === 'result') gather(output.value, 0, found);
  return found;
}
