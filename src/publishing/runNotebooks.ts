import type { Review } from '../extraction/review.ts';
import type { FoundNotebook } from './findNotebooks.ts';
import { NotebookSkipped } from './notebook.ts';
import type { NotebookRun } from './notebookRun.ts';
import type { PageFacts } from './pageFacts.ts';
import { runNotebook } from './runNotebook.ts';

/** A page that could not be made, and which cell of its notebook stopped for which cause. */
export interface FailedPage {
  readonly name: string;
  readonly title: string;
  readonly message: string;
}

/** What a run of several notebooks gave. */
export interface NotebookRuns {
  readonly runs: readonly NotebookRun[];
  readonly skipped: readonly { readonly name: string; readonly reason: string }[];
  /** Notebooks that stopped. */
  readonly failures: readonly FailedPage[];
}

/** Runs notebooks one after the other; one that stops does not keep the others from being tried. */
export async function runNotebooks(
  notebooks: readonly FoundNotebook[],
  review: Review,
  facts: PageFacts,
  watch: {
    readonly onStart?: (name: string) => Promise<void>;
    readonly onRun?: (run: NotebookRun) => void;
  } = {},
): Promise<NotebookRuns> {
  const runs: NotebookRun[] = [];
  const skipped: { name: string; reason: string }[] = [];
  const failures: FailedPage[] = [];
  for (const notebook of notebooks) {
    await watch.onStart?.(notebook.name);
    try {
      const run = await runNotebook({ ...notebook, review, facts });
      runs.push(run);
      watch.onRun?.(run);
    } catch (error) {
      if (error instanceof NotebookSkipped) skipped.push({ name: notebook.name, reason: error.message });
      else {
        const message = error instanceof Error ? error.message : String(error);
        failures.push({ name: notebook.name, title: notebook.source.title, message });
      }
    }
  }
  return { runs, skipped, failures };
}
