import type { TwoArmTable } from '../rareEvents/twoArmTable.ts';
import type { EffectDeviationScale } from './comparisonContext.ts';
import type { QuotedMeasure } from './comparisonMethods.ts';

/** What the rule for comparisons looks at. */
export interface ComparisonFacts {
  /** Studies with an event in either arm and a shoulder without in either: the ones that say anything. */
  readonly informative: number;
  /** Events over all treated arms, and over all comparator arms. */
  readonly treatedEvents: number;
  readonly comparatorEvents: number;
  /** The smallest of all cells: events, or shoulders without, in any arm. */
  readonly smallestCell: number;
}

/** What is quoted, and why, before any number is worked out. */
export type ComparisonChoice =
  | { readonly quote: 'dersimonian-laird'; readonly because: 'meets-target' }
  | {
      readonly quote: 'posterior';
      /** Of the half-normal prior for the between-study deviation. */
      readonly scale: EffectDeviationScale;
      readonly because: 'few-studies';
    }
  | { readonly quote: 'one-step'; readonly because: 'few-events' }
  | { readonly quote: 'common-effect'; readonly because: 'one-study' | 'no-one-step-model' }
  | { readonly quote: 'nothing'; readonly because: 'nothing-to-pool' | 'no-events' };

/** The borders of the rule, found by simulation: docs/methods-rare-events.md. */
export const comparisonBorders = {
  /** DerSimonian-Laird needs at least so many studies, */
  studies: 5,
  /** and so many events, and shoulders without, in every arm. */
  cell: 5,
  /** Up to so many studies a posterior is quoted where DerSimonian-Laird is not, */
  fewStudies: 9,
  /** and up to so many of them with scale 0.5; that held too seldom from there on, where scale 1 holds. */
  fewestStudies: 4,
} as const;

/** The facts of one comparison's tables. */
export function comparisonFacts(tables: readonly TwoArmTable[]): ComparisonFacts {
  let informative = 0;
  let treatedEvents = 0;
  let comparatorEvents = 0;
  let smallestCell = Number.POSITIVE_INFINITY;
  for (const { treated, comparator } of tables) {
    const events = treated.events + comparator.events;
    if (events > 0 && events < treated.total + comparator.total) informative += 1;
    treatedEvents += treated.events;
    comparatorEvents += comparator.events;
    smallestCell = Math.min(
      smallestCell,
      treated.events,
      treated.total - treated.events,
      comparator.events,
      comparator.total - comparator.events,
    );
  }
  return { informative, treatedEvents, comparatorEvents, smallestCell };
}

/**
 * Which number is quoted for these tables, by what its interval was seen to cover?
 *
 * DerSimonian-Laird (nothing added, truncated Hartung-Knapp) from five studies whose every arm has five events and five
 * shoulders without. Elsewhere the one-step model of the measure: hypergeometric-normal for odds ratios, conditional
 * binomial-normal for risk ratios; its posterior up to nine studies, which say too little about how far they differ
 * (half-normal prior with scale 0.5 up to four, 1 from five on), its profile likelihood from ten on. A risk difference has none: the common-effect answer is quoted as such.
 *
 * @example
 * chooseComparison({ informative: 38, treatedEvents: 86, comparatorEvents: 72, smallestCell: 0 }, 'odds-ratio').quote
 * // 'one-step'
 */
export function chooseComparison(
  { informative, smallestCell }: ComparisonFacts,
  measure: QuotedMeasure,
): ComparisonChoice {
  if (smallestCell === Number.POSITIVE_INFINITY) return { quote: 'nothing', because: 'nothing-to-pool' };
  if (informative === 0) return { quote: 'nothing', because: 'no-events' };
  if (informative === 1) return { quote: 'common-effect', because: 'one-study' };
  if (smallestCell >= comparisonBorders.cell && informative >= comparisonBorders.studies) {
    return { quote: 'dersimonian-laird', because: 'meets-target' };
  }
  if (measure === 'risk-difference') return { quote: 'common-effect', because: 'no-one-step-model' };
  return informative <= comparisonBorders.fewStudies
    ? {
        quote: 'posterior',
        scale: informative <= comparisonBorders.fewestStudies ? 0.5 : 1,
        because: 'few-studies',
      }
    : { quote: 'one-step', because: 'few-events' };
}
