import type { PooledSite } from '../extraction/site.ts';
import type { Claim } from '../robustness/claims/claim.ts';

/** How a number in a claim is meant. */
export type ClaimBound = 'about' | 'at least' | 'at most';

/** What somebody is about to say of sites, as numbers that can be checked. */
export type SiteClaim =
  | {
      /** "twice as often", "half as many": risk at the first site over risk at the second. */
      readonly kind: 'ratio';
      readonly site: PooledSite;
      readonly comparator: PooledSite;
      readonly factor: number;
      readonly bound: ClaimBound;
    }
  | {
      /** "10 fewer in 100": risk at the first site less risk at the second, −1 to 1. */
      readonly kind: 'difference';
      readonly site: PooledSite;
      readonly comparator: PooledSite;
      readonly difference: number;
      readonly bound: ClaimBound;
    }
  | {
      readonly kind: 'direction';
      readonly site: PooledSite;
      readonly comparator: PooledSite;
      readonly direction: 'more' | 'fewer';
    }
  | { readonly kind: 'alike'; readonly site: PooledSite; readonly comparator: PooledSite }
  | {
      /** "fewer than 5 in 100 after subpectoral fixation" */
      readonly kind: 'rate';
      readonly site: PooledSite;
      readonly rate: number;
      readonly bound: ClaimBound;
    }
  | { readonly kind: 'count'; readonly count: Claim };

/** Sentences that are understood, one of each kind. */
export const siteClaimExamples = [
  'Tenotomy deforms twice as often as subpectoral tenodesis',
  'Subpectoral fixation leaves 10 fewer deformities in 100 than tenotomy',
  'Groove pain is rarer after subpectoral than after suprapectoral fixation',
  'There is no difference in revision between suprapectoral and subpectoral fixation',
  'Fewer than 5 in 100 are deformed after subpectoral tenodesis',
  'No bulge in my series: 0 of 40',
] as const;

/** A sentence read, or why it could not be. */
export type SiteClaimReading =
  | {
      readonly status: 'read';
      readonly claim: SiteClaim;
      /** Id of the outcome the sentence names; undefined when it names none. */
      readonly outcome: string | undefined;
    }
  | { readonly status: 'not understood'; readonly reason: string };
