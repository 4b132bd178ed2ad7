import type { Count } from '../../effects/estimate.ts';

/** What the rule looks at: nothing but what can be seen in the counts. */
export interface RateFacts {
  readonly arms: number;
  readonly events: number;
  readonly shoulders: number;
  /** Shoulders of the largest arm. */
  readonly largestArm: number;
}

/** What is quoted, and why, before any number is worked out. */
export type RateChoice =
  | { readonly quote: 'one-series'; readonly because: 'one-arm' | 'no-events' | 'only-events' }
  | {
      readonly quote: 'mean-of-studies';
      readonly because: 'rare' | 'few-events' | 'one-large-arm' | 'other-site';
    }
  | { readonly quote: 'posterior-of-the-mean'; readonly because: 'few-arms' }
  | { readonly quote: 'dersimonian-laird'; readonly because: 'meets-target' };

/** The borders of the rule, found by simulation: docs/methods-rare-events.md. */
export const rateBorders = {
  /** Fewer arms say too little about how far studies differ: a posterior is quoted. DerSimonian-Laird needs as many, */
  arms: 5,
  /** so large a share of shoulders with the event, and without, */
  share: 0.1,
  /** so many events, and shoulders without, an arm, */
  eventsPerArm: 4,
  /** and no arm with more than this share of all shoulders. */
  largestArm: 0.5,
} as const;

/** The facts of one site's counts. */
export function rateFacts(counts: readonly Count[]): RateFacts {
  let events = 0;
  let shoulders = 0;
  let largestArm = 0;
  for (const count of counts) {
    events += count.events;
    shoulders += count.total;
    largestArm = Math.max(largestArm, count.total);
  }
  return { arms: counts.length, events, shoulders, largestArm };
}

/**
 * Which number is quoted for these counts, by what its interval was seen to cover?
 *
 * One arm, or no events, or nothing but events: all shoulders as one series. DerSimonian-Laird (arcsines, nothing added,
 * truncated Hartung-Knapp) from five arms, a tenth of shoulders with the event (and a tenth without), four events an arm
 * and no arm with more than half of all shoulders. Everything else: the mean of the studies, from five arms on by the
 * profile likelihood of the beta-binomial model, for two to four by the posterior of the binomial-normal one, which leans on
 * its priors. The borders are those within which DerSimonian-Laird held its target in simulated reviews.
 *
 * @example
 * chooseRate({ arms: 13, events: 14, shoulders: 1700, largestArm: 300 }).quote // 'mean-of-studies'
 */
export function chooseRate({ arms, events, shoulders, largestArm }: RateFacts): RateChoice {
  if (events === 0) return { quote: 'one-series', because: 'no-events' };
  if (events === shoulders) return { quote: 'one-series', because: 'only-events' };
  if (arms === 1) return { quote: 'one-series', because: 'one-arm' };
  if (arms < rateBorders.arms) return { quote: 'posterior-of-the-mean', because: 'few-arms' };
  const fewer = Math.min(events, shoulders - events);
  if (fewer < rateBorders.share * shoulders) return { quote: 'mean-of-studies', because: 'rare' };
  if (fewer < rateBorders.eventsPerArm * arms) return { quote: 'mean-of-studies', because: 'few-events' };
  if (largestArm > rateBorders.largestArm * shoulders) {
    return { quote: 'mean-of-studies', because: 'one-large-arm' };
  }
  return { quote: 'dersimonian-laird', because: 'meets-target' };
}

/** Which of the two pools is quoted at every site of one outcome: DerSimonian-Laird only where every site allows it. */
export function chooseForOutcome(
  sites: readonly RateFacts[],
): 'mean-of-studies' | 'dersimonian-laird' | 'one-series' {
  const choices = sites.map(chooseRate);
  // A site of one arm is its own series whatever the others are; one without events tells of a rare outcome.
  const pools = choices.filter(({ because }) => because !== 'one-arm');
  if (pools.length === 0) return 'one-series';
  if (pools.every(({ quote }) => quote === 'one-series')) return 'one-series';
  return pools.every(({ quote }) => quote === 'dersimonian-laird') ? 'dersimonian-laird' : 'mean-of-studies';
}
