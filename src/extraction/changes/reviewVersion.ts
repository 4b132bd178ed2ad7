import type { Review } from '../review.ts';

/** One version of a review: what was read, and the files it was read from. */
export interface ReviewVersion {
  /** How people name it: a folder, a folder at a revision, a year. */
  readonly name: string;
  readonly review: Review;
  /** The files by name, as {@link readReview} took them. */
  readonly files: Readonly<Record<string, string | Uint8Array>>;
}
