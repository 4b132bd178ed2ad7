import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type NotebookSource, parseNotebook } from './notebookSource.ts';

/** A notebook on disk. */
export interface FoundNotebook {
  readonly name: string;
  readonly url: string;
  readonly source: NotebookSource;
}

/** Reads one notebook. */
export function readNotebook(path: string): FoundNotebook {
  const file = path.split(/[\\/]/).at(-1) ?? path;
  return {
    name: file.replace(/\.ts$/, ''),
    url: pathToFileURL(resolve(path)).href,
    source: parseNotebook(readFileSync(path, 'utf8'), file),
  };
}

/** Every script directly inside the notebooks' folder, by name; folders in it hold data and helpers. */
export function findNotebooks(folder: string): readonly FoundNotebook[] {
  return readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts') && !entry.name.endsWith('.d.ts'))
    .map((entry) => entry.name)
    .sort()
    .map((name) => readNotebook(join(folder, name)));
}
