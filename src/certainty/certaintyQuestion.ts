import type { PooledSite } from '../extraction/site.ts';

/** How often does it happen at one site? A question of the prognosis kind: bodies of observational studies start high. */
export interface RateQuestion {
  readonly kind: 'rate';
  /** The outcome's id in the protocol. */
  readonly outcome: string;
  readonly site: PooledSite;
}

/** Is one site better than another? Trials start high, other studies low. */
export interface ComparisonQuestion {
  readonly kind: 'comparison';
  readonly outcome: string;
  /** The effect is said of this site, against the comparator. */
  readonly site: PooledSite;
  readonly comparator: PooledSite;
}

/** What certainty is asked about. The same studies start at different levels for the two kinds. */
export type CertaintyQuestion = RateQuestion | ComparisonQuestion;
