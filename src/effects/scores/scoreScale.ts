import type { ScoreRange } from './scaleEndCaution.ts';

/** Which end of a scale a patient wants to be at. */
export const scoreDirections = ['lower', 'higher'] as const;
export type ScoreDirection = (typeof scoreDirections)[number];

/** One way the same instrument is scored; two versions map onto each other by a straight line. */
export interface ScaleVersion {
  /** Ends of this version; undefined for a measurement without ends (a force, a time). */
  readonly range: ScoreRange | undefined;
  readonly better: ScoreDirection;
  /** Units it is printed in, the usual one first. */
  readonly units: readonly string[];
  /** For a version without ends: one unit of it in units of the reference. */
  readonly factor?: number;
  /** What a reader should know when this version is used. */
  readonly note?: string;
}

/** An instrument, with every version that may be pooled with every other. What may not is a scale of its own. */
export interface ScoreScale {
  readonly id: string;
  readonly name: string;
  /** Other ids it goes by. */
  readonly aliases: readonly string[];
  /** Scales of one family look alike and are easily confused. */
  readonly family: string;
  /** The version scores are harmonised to. */
  readonly reference: ScaleVersion;
  /** All versions, the reference included. */
  readonly versions: readonly ScaleVersion[];
  /** True when versions differ so much that a score without its range or unit says nothing. */
  readonly rangeMustBeStated: boolean;
  /** Why it is not pooled with others of its family; undefined where there are none. */
  readonly apartBecause: string | undefined;
  /** Does 0 on the reference mean none of what is measured, as a ratio of means needs? */
  readonly zeroIsNone: boolean;
  readonly source: string;
}
