import { existsSync, statSync } from 'node:fs';
import type { ReviewVersion } from '../../extraction/changes/reviewVersion.ts';
import { formatProblem } from '../../extraction/problem.ts';
import { readFolderFiles, readReviewFiles } from '../../extraction/readReviewFolder.ts';
import { readFolderAtRevision } from './gitFolder.ts';

/** A version of a review, or the problems that keep it from being used. */
export interface OpenedVersion {
  readonly name: string;
  readonly version: ReviewVersion | undefined;
  readonly problemLines: readonly string[];
  readonly errors: number;
}

/**
 * Opens a version of a review: a folder, or `folder@revision` for the folder as git holds it at a revision.
 *
 * A folder whose own name holds an `@` is taken as it is when it exists.
 *
 * @throws in a plain sentence when there is no such folder, repository or revision
 */
export async function openVersion(named: string): Promise<OpenedVersion> {
  const at = named.lastIndexOf('@');
  const revision = at > 0 && !existsSync(named) ? named.slice(at + 1) : '';
  const found =
    revision === ''
      ? await readFolderFiles(existingFolder(named))
      : { files: readFolderAtRevision(named.slice(0, at), revision).files, problems: [] };
  const { review, problems } = readReviewFiles(found);
  const name = named.replaceAll('\\', '/');
  return {
    name,
    version: review && { name, review, files: found.files },
    problemLines: problems.map((problem) => `${name}: ${formatProblem(problem)}`),
    errors: problems.filter(({ severity }) => severity === 'error').length,
  };
}

function existingFolder(folder: string): string {
  if (!existsSync(folder)) throw new Error(`there is no folder ${folder}`);
  if (!statSync(folder).isDirectory())
    throw new Error(`${folder} is a file; name the folder that holds protocol.json and the sheets`);
  return folder;
}
