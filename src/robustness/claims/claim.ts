import type { Count } from '../../effects/estimate.ts';

/** What somebody is about to say: so many events of so many, perhaps against other arms or under a limit. */
export interface Claim {
  readonly events: number;
  readonly total: number;
  /** The arm it is set against. */
  readonly comparator?: Count;
  /** The rate it is claimed to be under, 0 to 1. */
  readonly limit?: number;
}
