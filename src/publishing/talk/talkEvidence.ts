import { certaintyOfReview } from '../../certainty/certaintyOfReview.ts';
import type { CertaintyRating } from '../../certainty/certaintyRating.ts';
import { comparePairs } from '../../comparison/pairs/comparePairs.ts';
import { type PairEvidence, pairEvidence } from '../../comparison/pairs/pairEvidence.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import type { EventSelection } from '../../extraction/eventSelection.ts';
import type { EventsOutcome } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { selectEvents } from '../../extraction/selectEvents.ts';
import { inSiteOrder, type PooledSite, pooledSites } from '../../extraction/site.ts';
import { poolBySite, type SitePools } from '../../pooling/poolBySite.ts';
import { protocolOptions } from '../../pooling/protocolOptions.ts';

/** One outcome's evidence, as far as a talk needs it. */
export interface OutcomeEvidence {
  readonly outcome: EventsOutcome;
  readonly selection: EventSelection;
  readonly pools: SitePools;
  /** Two sites within studies that did both. */
  readonly pairOf: (treatment: PooledSite, comparator: PooledSite) => PairEvidence;
  /** How sure, where it was rated. */
  readonly ratingOf: (treatment: PooledSite, comparator: PooledSite) => CertaintyRating | undefined;
}

/**
 * Everything one outcome says, by the protocol.
 *
 * @param ratings those somebody made; without them each comparison is rated from the review, and its numbers are those
 *   of the studies that were rated
 */
export function outcomeEvidence(
  review: Review,
  id: string,
  ratings: readonly CertaintyRating[] | undefined,
): OutcomeEvidence {
  const selection = selectEvents(review, id);
  const { outcome } = selection;
  const options = protocolOptions(review.protocol, outcome);
  const { model, betweenStudyVariance, interval, varianceInterval, prediction, zeroEvents, level } = options;
  const pooling = Object.fromEntries(
    Object.entries({
      model,
      betweenStudyVariance,
      interval,
      varianceInterval,
      prediction,
      zeroEvents,
      level,
    }).filter(([, value]) => value !== undefined),
  );
  const rated = new Map<string, CertaintyRating>();
  const ratingOf = (treatment: PooledSite, comparator: PooledSite): CertaintyRating | undefined => {
    if (ratings !== undefined)
      return ratings.find(
        ({ question }) =>
          question.kind === 'comparison' &&
          question.outcome === id &&
          [question.site, question.comparator].every((site) => site === treatment || site === comparator),
      );
    // Rated the way round in which people decide on pairs, whichever site the speaker names first: how sure one may be
    // of a difference must not hang on the order of its words.
    const [site, other] = inSiteOrder(treatment, comparator);
    const key = `${site} ${other}`;
    const known =
      rated.get(key) ??
      certaintyOfReview(review, { kind: 'comparison', outcome: id, site, comparator: other });
    rated.set(key, known);
    return known;
  };
  return {
    outcome,
    selection,
    pools: poolBySite(selection.arms, options),
    ratingOf,
    pairOf: (treatment, comparator) => {
      const design = ratingOf(treatment, comparator)?.body.design;
      const only =
        design === 'randomised trials' || design === 'non-randomised studies' ? { only: design } : {};
      return pairEvidence(selection.arms, treatment, comparator, { ...pooling, ...only });
    },
  };
}

/**
 * The pair of sites a talk compares when nobody names one: the one that most studies set against each other within
 * themselves, on a tie the one with more shoulders.
 */
export function leadingPair({ selection }: OutcomeEvidence): readonly [PooledSite, PooledSite] {
  const ranked = comparePairs(selection.arms)
    .pairs.map(({ treatment, comparator, studies }) => ({
      pair: [treatment, comparator] as const,
      studies: studies.length,
      shoulders: studies.reduce((sum, study) => sum + study.treated.total + study.comparator.total, 0),
    }))
    .sort((one, other) => other.studies - one.studies || other.shoulders - one.shoulders);
  return ranked[0]?.pair ?? [pooledSites[0], pooledSites[1]];
}

/** Distinct studies among arms. */
export const studiesOf = (arms: readonly ArmEvents[]): number => new Set(arms.map(({ study }) => study)).size;

/** Studies with arms at two of the four sites or more. */
export function comparingStudies(arms: readonly ArmEvents[]): number {
  const sites = new Map<string, Set<string>>();
  for (const { study, site } of arms)
    if ((pooledSites as readonly string[]).includes(site))
      sites.set(study, (sites.get(study) ?? new Set()).add(site));
  return [...sites.values()].filter(({ size }) => size >= 2).length;
}
