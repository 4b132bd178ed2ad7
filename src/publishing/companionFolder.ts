import { companion } from './companion.ts';
import type { NotebookRun } from './notebookRun.ts';
import { addToFolder, filesUnder, removeFiles } from './writeFiles.ts';

/** Where the committed companions stand. */
export const companionFolder = 'docs/notebooks';

/**
 * Which companions on disk differ from those of a fresh run?
 *
 * @returns one line for each file that differs, is missing, or should no longer be there
 */
export function companionDifferences(folder: string, runs: readonly NotebookRun[]): readonly string[] {
  const present = filesUnder(folder);
  const wanted = new Map(runs.flatMap(companion).map((file) => [file.path, file.content]));
  const changed = [...wanted].flatMap(([path, content]) => {
    const now = present.get(path);
    if (now === undefined) return [`${folder}/${path} is missing`];
    return now.replaceAll('\r\n', '\n') === content ? [] : [`${folder}/${path} differs from a fresh run`];
  });
  const stale = [...present.keys()]
    .filter((path) => !wanted.has(path))
    .map((path) => `${folder}/${path} belongs to no notebook`);
  return [...changed, ...stale].sort();
}

/** Writes the companions anew and removes those that belong to no notebook any more. */
export function replaceCompanions(folder: string, runs: readonly NotebookRun[]): void {
  const files = runs.flatMap(companion);
  const wanted = new Set(files.map((file) => file.path));
  addToFolder(folder, files);
  removeFiles(
    folder,
    [...filesUnder(folder).keys()].filter((path) => !wanted.has(path) && /\.(?:md|svg)$/.test(path)),
  );
}
