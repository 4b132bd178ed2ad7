import { existsSync, statSync } from 'node:fs';
import { formatProblem } from '../extraction/problem.ts';
import { type ReviewFingerprint, reviewFingerprint } from '../extraction/provenance/fingerprint.ts';
import { readFolderFiles, readReviewFiles } from '../extraction/readReviewFolder.ts';
import type { Review } from '../extraction/review.ts';
import { amendmentsOfFolder } from './amendmentsOfFolder.ts';

/** A review's folder, read and checked. */
export interface OpenedReview {
  /** Undefined when the files hold an error. */
  readonly review: Review | undefined;
  /** Hashes of what was read. */
  readonly fingerprint: ReviewFingerprint;
  readonly problemLines: readonly string[];
  readonly errors: number;
  readonly warnings: number;
  /** What the protocol changed since earlier versions of the review, in sentences. */
  readonly amendments: readonly string[];
}

/**
 * Reads a review's folder.
 *
 * @throws when there is no such folder, in a sentence for the person who typed it
 */
export async function openReview(folder: string): Promise<OpenedReview> {
  if (!existsSync(folder)) throw new Error(`there is no folder ${folder}`);
  if (!statSync(folder).isDirectory()) {
    throw new Error(`${folder} is a file; name the folder that holds protocol.json and the sheets`);
  }
  const found = await readFolderFiles(folder);
  const { review, problems } = readReviewFiles(found);
  const errors = problems.filter((problem) => problem.severity === 'error').length;
  return {
    review,
    fingerprint: reviewFingerprint(found.files),
    problemLines: problems.map(formatProblem),
    errors,
    warnings: problems.length - errors,
    amendments: amendmentsOfFolder(folder),
  };
}
