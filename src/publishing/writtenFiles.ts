import { createHash } from 'node:crypto';
import { existsSync, lstatSync, readFileSync, realpathSync, statSync } from 'node:fs';
import { basename, join, relative, resolve } from 'node:path';

/** The list each folder that runs write to carries: whose files these are, and what runs wrote there. */
export const listName = '.tenosite-pages';
const aboutList =
  'What runs of tenosite wrote here. A file that is not as listed is never replaced or removed.';

export interface Written {
  /** The review's folder, seen from this one; undefined where none has written yet. */
  readonly review?: string;
  /** By path within the folder: which command made the file, and the SHA-256 of what it may have written last. */
  readonly files: Readonly<Record<string, { readonly by: string; readonly sha256: readonly string[] }>>;
}

/** Did a run of ours write to this folder? */
export const isFolderOfPages = (folder: string): boolean => existsSync(join(folder, listName));

/** What runs wrote there; undefined where none did or where they kept no list, as version 0.1 did not. */
export function readWritten(folder: string): Written | undefined {
  try {
    const { review, files } = JSON.parse(readFileSync(join(folder, listName), 'utf8')) as Partial<Written>;
    if (typeof files !== 'object' || files === null) return undefined;
    return { files, ...(typeof review === 'string' ? { review } : {}) };
  } catch {
    return undefined;
  }
}

export const listText = (list: Written): string =>
  `${JSON.stringify({ about: aboutList, ...list }, undefined, 1)}\n`;

export const sha256 = (content: string | Uint8Array): string =>
  createHash('sha256').update(content).digest('hex');

/** Is this a file, not a link or a folder, that holds what a run wrote? */
export function isAsWritten(path: string, ours: readonly string[]): boolean {
  return (
    lstatSync(path, { throwIfNoEntry: false })?.isFile() === true && ours.includes(sha256(readFileSync(path)))
  );
}

/**
 * Where a review's files go unless told otherwise: `out/` and the name of its folder.
 *
 * A review of that name at another place keeps its own, and this one gets the next name that is free: `out/mine-2`. So
 * does one whose name is that of a folder which version 0.1 wrote.
 *
 * @example
 * outFolderOf('data-extraction/mine') // 'out/mine'
 */
export function outFolderOf(review: string, within = 'out'): string {
  const name = basename(resolve(review)) || 'review';
  for (let number = 1; ; number += 1) {
    const folder = `${within}/${number === 1 ? name : `${name}-${number}`}`;
    const taken = existsSync(folder) && !statSync(folder).isDirectory();
    const fromBefore = isFolderOfPages(folder) && readWritten(folder) === undefined;
    if (!taken && !fromBefore && otherReviewIn(folder, review) === undefined) return folder;
  }
}

/**
 * Refuses a folder that holds the files of another review, so that two reviews never touch each other's.
 *
 * @throws in a sentence that names the other
 */
export function refuseOtherReview(folder: string, review: string): void {
  const other = otherReviewIn(folder, review);
  if (other !== undefined)
    throw new Error(
      `${folder} holds what was made from ${other}; name another folder for ${review} with --out`,
    );
}

/** The review a folder was written from, where that is another one and still there. */
function otherReviewIn(folder: string, review: string): string | undefined {
  const recorded = readWritten(folder)?.review;
  if (recorded === undefined) return undefined;
  const other = join(realPath(folder), recorded);
  return existsSync(other) && realPath(other) !== realPath(review) ? relative('.', other) || '.' : undefined;
}

/** A review's folder as a list names it, so that it stays true where both are moved together. */
export const fromFolder = (folder: string, review: string): string =>
  relative(realPath(folder), realPath(review)).replaceAll('\\', '/');

export const realPath = (path: string): string => (existsSync(path) ? realpathSync(path) : resolve(path));
