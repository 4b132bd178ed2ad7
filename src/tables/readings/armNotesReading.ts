import type { Review } from '../../extraction/review.ts';
import { notesOnArms } from '../../pooling/notesOnArms.ts';
import type { SitePools } from '../../pooling/poolBySite.ts';

/**
 * What each site's rate takes as one although it may not be: arms followed for unlike times, and two shoulders of one
 * patient. One line a site and kind, only where it applies.
 *
 * @example
 * bulletList(armNotesReading(pools, review))
 */
export function armNotesReading(
  pools: SitePools,
  review: Pick<Review, 'arms' | 'events'>,
): readonly string[] {
  return pools.sites.flatMap(({ name, pool }) =>
    pool.headline === undefined
      ? []
      : notesOnArms(pool.armsInNumber, review).map(({ message }) => `${name}: ${message}`),
  );
}
