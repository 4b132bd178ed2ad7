import { stripQuery } from './callSite.ts';
import type { Notebook } from './notebook.ts';

/** Notebooks the runner is about to import, by the address they will ask under. */
const expected = new Map<string, Notebook>();

/** Hands a notebook to the script at an address, which will ask for it; ends with the returned call. */
export function expectNotebook(url: string, notebook: Notebook): () => void {
  expected.set(stripQuery(url), notebook);
  return () => expected.delete(stripQuery(url));
}

/**
 * Opens the notebook a script is: the review to read and the page to show results on.
 *
 * Under the runner the review is the run's. Run by itself (`npx tsx notebooks/revision.ts [folder]`) a
 * notebook reads the folder named on the command line, by default `data-extraction/demo`, prints what it
 * shows and writes its page and JSON file when it ends.
 *
 * @param url the script's `import.meta.url`
 * @example
 * const notebook = await openNotebook(import.meta.url);
 */
export async function openNotebook(url: string): Promise<Notebook> {
  const notebook = expected.get(stripQuery(url));
  if (notebook !== undefined) return notebook;
  const { openStandalone } = await import('./standaloneNotebook.ts');
  return openStandalone(stripQuery(url));
}
