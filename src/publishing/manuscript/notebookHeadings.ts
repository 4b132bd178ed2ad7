import type { FoundNotebook } from '../findNotebooks.ts';

/** The section headings of each notebook, by its name, as its page prints them. */
export function notebookHeadings(
  notebooks: readonly FoundNotebook[],
): ReadonlyMap<string, readonly string[]> {
  return new Map(
    notebooks.map(({ name, source }) => [
      name,
      source.cells.flatMap((cell) =>
        cell.kind === 'markdown'
          ? [...cell.text.matchAll(/^## (.+)$/gm)].map(([, heading = '']) => heading)
          : [],
      ),
    ]),
  );
}
