import { existsSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { ReviewVersion } from '../../extraction/changes/reviewVersion.ts';
import type { Review } from '../../extraction/review.ts';
import type { Notebook } from '../notebook.ts';
import { openVersion } from './openVersion.ts';

const isFolder = (path: string): boolean => existsSync(path) && statSync(path).isDirectory();

/**
 * Where is the version before this one? The folder `previousVersion` of the protocol names, seen from the review's own
 * folder; without it a folder `previous` within that. Undefined where there is neither.
 */
export function previousFolder(
  review: { readonly protocol: Pick<Review['protocol'], 'previousVersion'> },
  folder: string,
): string | undefined {
  const { previousVersion } = review.protocol;
  if (previousVersion !== undefined) return join(folder, previousVersion).replaceAll('\\', '/');
  const within = join(folder, 'previous');
  return isFolder(within) ? within.replaceAll('\\', '/') : undefined;
}

/**
 * The version of a notebook's review before this one, and this one, ready to be compared.
 *
 * Skips the notebook, with the reason, when the review names no earlier version, when it is not there, or when its files
 * hold errors.
 *
 * @example
 * const { before, after } = await versionsOf(notebook);
 */
export async function versionsOf(
  notebook: Notebook,
): Promise<{ readonly before: ReviewVersion; readonly after: ReviewVersion }> {
  const folder = previousFolder(notebook.review, notebook.folder);
  if (folder === undefined)
    return notebook.skip(
      'the review names no earlier version: put it into a folder "previous" within it, or name its folder as "previousVersion" in protocol.json',
    );
  if (!isFolder(folder)) return notebook.skip(`the earlier version ${folder} is not there`);
  const [before, after] = await Promise.all([openVersion(folder), openVersion(notebook.folder)]);
  if (before.version === undefined)
    return notebook.skip(`the earlier version ${folder} has ${before.errors} errors to cure first`);
  if (after.version === undefined) return notebook.skip(`${notebook.folder} has changed since the run began`);
  return { before: before.version, after: after.version };
}
