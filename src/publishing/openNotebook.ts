import { stripQuery } from './callSite.ts';
import type { Notebook } from './notebook.ts';

/** Options of {@link openNotebook}. */
export interface NotebookOptions {
  /** For a notebook that brings its own data and none of the review's: where they come from, for its page. */
  readonly dataFrom?: string;
}

type Opening = (options: NotebookOptions) => Notebook;

/** Notebooks the runner is about to import, by the address they will ask under. */
const expected = new Map<string, Opening>();

/** Answers the script at an address when it asks for its notebook; ends with the returned call. */
export function expectNotebook(url: string, opening: Opening): () => void {
  expected.set(stripQuery(url), opening);
  return () => expected.delete(stripQuery(url));
}

/**
 * Opens the notebook a script is: the review to read and the page to show results on.
 *
 * Under the runner the review is the run's. Run by itself (`npm run notebook -- notebooks/revision.ts [folder]`) a
 * notebook reads the folder named on the command line, by default `data-extraction/demo`, prints what it
 * shows and writes its page and JSON file when it ends.
 *
 * @param url the script's `import.meta.url`
 * @example
 * const notebook = await openNotebook(import.meta.url);
 */
export async function openNotebook(url: string, options: NotebookOptions = {}): Promise<Notebook> {
  const opening = expected.get(stripQuery(url));
  if (opening !== undefined) return opening(options);
  const { openStandalone } = await import('./standaloneNotebook.ts');
  return openStandalone(stripQuery(url), options);
}
