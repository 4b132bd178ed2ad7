import { type CertaintyLevel, certaintyLevels } from '../certainty/certaintyRating.ts';
import { type Cuts, type Reach, sameReach, tellsNothing, within } from './reaches.ts';

/** What became of a conclusion. */
export const standings = [
  'changed',
  'can no longer be told',
  'newly answered',
  'stands but weaker',
  'stands more firmly',
  'still stands',
  'still cannot be told',
] as const;
export type Standing = (typeof standings)[number];

/** A conclusion in one version: the parts of the line its interval reaches, and how sure it is. */
export interface ConclusionState {
  readonly reach: Reach;
  /** Undefined where nobody rated it. */
  readonly certainty: CertaintyLevel | undefined;
}

/**
 * What became of a conclusion between two versions?
 *
 * A conclusion is the parts of the line that the interval leaves open; p values play no part. Told before and not now: it
 * can no longer be told; the other way about: newly answered. Of two told, the later stands more firmly when it leaves
 * less open, weaker when it leaves more open, and has changed when neither holds. With the same parts open, certainty
 * decides between firmer and weaker.
 */
export function standingOf(before: ConclusionState, after: ConclusionState, cuts: Cuts): Standing {
  const [silentBefore, silentAfter] = [tellsNothing(before.reach, cuts), tellsNothing(after.reach, cuts)];
  if (silentBefore && silentAfter) return 'still cannot be told';
  if (silentBefore) return 'newly answered';
  if (silentAfter) return 'can no longer be told';
  const sure = compareCertainty(before.certainty, after.certainty);
  if (sameReach(before.reach, after.reach))
    return sure < 0 ? 'stands but weaker' : sure > 0 ? 'stands more firmly' : 'still stands';
  if (within(after.reach!, before.reach!)) return sure < 0 ? 'stands but weaker' : 'stands more firmly';
  if (within(before.reach!, after.reach!)) return 'stands but weaker';
  return 'changed';
}

/** Levels gained (above 0) or lost; 0 where either is not rated. */
export function compareCertainty(
  before: CertaintyLevel | undefined,
  after: CertaintyLevel | undefined,
): number {
  if (before === undefined || after === undefined) return 0;
  return certaintyLevels.indexOf(after) - certaintyLevels.indexOf(before);
}
