import { readdir, readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import type { Problem } from './problem.ts';
import { readReview } from './readReview.ts';
import type { ReviewReading } from './review.ts';

/** The files of a folder that could belong to a review, and those that could not be read. */
export interface FolderFiles {
  readonly files: Readonly<Record<string, Uint8Array>>;
  /** Anything here means that the review cannot be used. */
  readonly problems: readonly Problem[];
}

/** Reads the sheets and the protocol of a folder as bytes; what cannot be read is a {@link Problem}. */
export async function readFolderFiles(folder: string): Promise<FolderFiles> {
  const failed = (file: string, expected: string, cure: string): Problem => ({
    severity: 'error',
    file,
    line: 1,
    column: 1,
    value: folder,
    expected,
    cure,
  });
  let names: readonly string[];
  try {
    names = (await readdir(folder)).filter((name) => /\.(csv|json|tsv|txt)$/i.test(name)).sort();
  } catch (error) {
    const cure =
      errorCode(error) === 'ENOTDIR'
        ? 'Name the folder that holds the files, not one of the files.'
        : 'Check the spelling, or start a review with: cp -r data-extraction/template data-extraction/mine';
    return { files: {}, problems: [failed('folder', 'a folder that can be read', cure)] };
  }
  const files: Record<string, Uint8Array> = {};
  const problems: Problem[] = [];
  for (const name of names) {
    try {
      const path = join(folder, name);
      if ((await stat(path)).isFile()) files[name] = await readFile(path);
    } catch (error) {
      const cure = `Close it in other programs and check that you may read it (${errorCode(error)}).`;
      problems.push(failed(name, 'a file that can be read', cure));
    }
  }
  return { files, problems };
}

/** What do the files of a folder say, with those that could not be read? */
export function readReviewFiles({ files, problems: unread }: FolderFiles): ReviewReading {
  if (unread.some(({ file }) => file === 'folder')) return { review: undefined, problems: unread };
  const reading = readReview(files);
  if (unread.length === 0) return reading;
  const unreadNames = new Set(unread.map((problem) => problem.file));
  const others = reading.problems.filter((problem) => !unreadNames.has(problem.file));
  return { review: undefined, problems: [...unread, ...others] };
}

/**
 * What does the review in this folder say?
 *
 * A folder or file that cannot be read is a {@link Problem} like any other; nothing is thrown.
 */
export async function readReviewFolder(folder: string): Promise<ReviewReading> {
  return readReviewFiles(await readFolderFiles(folder));
}

const errorCode = (error: unknown): string => (error as { readonly code?: string }).code ?? 'unknown reason';
