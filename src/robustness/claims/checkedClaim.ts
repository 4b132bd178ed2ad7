import type { Interval } from '../../numerics/interval.ts';
import type { ArmBalance } from './armBalance.ts';
import type { Claim } from './claim.ts';
import type { ClaimAgainstPool, ClaimNotPlaced } from './claimAgainstPool.ts';
import type { Fragility } from './fragility.ts';

/** What the series says about a rate it is claimed to be under. */
export interface LimitVerdict {
  readonly limit: number;
  readonly verdict: 'supported' | 'contradicted' | 'cannot tell';
  /** Posterior probability that the true rate is below the limit (Jeffreys' prior). */
  readonly probabilityBelow: number;
  /** Shoulders without any event that would support it: exact two-sided, and one-sided as the rule of three. */
  readonly withoutEvent: { readonly twoSided: number; readonly oneSided: number };
  /** Shoulders in all that would support it if no further event came; the series' own total where it does already. */
  readonly withTheseEvents: number;
}

/** What two arms say of each other. */
export interface ArmsCompared {
  /** First less second, 0 to 1, with Newcombe's interval. */
  readonly difference: { readonly value: number; readonly interval: Interval };
  readonly fisherP: number;
  readonly probabilityLower: number;
  readonly balance: ArmBalance;
  readonly fragility: Fragility;
}

/** A claim with everything that can be said of it. */
export interface CheckedClaim {
  readonly kind: 'checked-claim';
  readonly claim: Claim;
  readonly level: number;
  readonly rate: number;
  /** Clopper-Pearson. */
  readonly exact: Interval;
  /** Equal-tailed, Jeffreys' prior. */
  readonly bayesian: Interval;
  /** One-sided exact limits at `level`. */
  readonly oneSided: { readonly lower: number; readonly upper: number };
  readonly limit: LimitVerdict | undefined;
  readonly comparison: ArmsCompared | undefined;
  readonly pool: ClaimAgainstPool | ClaimNotPlaced | undefined;
  /** The claim in one plain sentence that the numbers bear out. */
  readonly sentence: string;
  /** What else a listener should be told, one sentence each. */
  readonly further: readonly string[];
  readonly methodsSentence: string;
}
