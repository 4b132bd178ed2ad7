import type { CertaintyRating } from '../../certainty/certaintyRating.ts';
import { comparePairs } from '../../comparison/pairs/comparePairs.ts';
import { type PairEvidence, pairEvidence } from '../../comparison/pairs/pairEvidence.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import type { EventSelection } from '../../extraction/eventSelection.ts';
import type { EventsOutcome } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { selectEvents } from '../../extraction/selectEvents.ts';
import { type PooledSite, pooledSites } from '../../extraction/site.ts';
import { poolBySite, type SitePools } from '../../pooling/poolBySite.ts';
import { protocolOptions } from '../protocolOptions.ts';

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

/** Everything one outcome says, by the protocol. */
export function outcomeEvidence(
  review: Review,
  id: string,
  ratings: readonly CertaintyRating[],
): OutcomeEvidence {
  const selection = selectEvents(review, id);
  const { outcome } = selection;
  const options = protocolOptions(review.protocol, outcome);
  const { scale: _, materialDifference: __, quadraturePoints: ___, leftOut: ____, ...pooling } = options;
  return {
    outcome,
    selection,
    pools: poolBySite(selection.arms, options),
    pairOf: (treatment, comparator) => pairEvidence(selection.arms, treatment, comparator, pooling),
    ratingOf: (treatment, comparator) =>
      ratings.find(
        ({ question }) =>
          question.kind === 'comparison' &&
          question.outcome === id &&
          [question.site, question.comparator].every((site) => site === treatment || site === comparator),
      ),
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
