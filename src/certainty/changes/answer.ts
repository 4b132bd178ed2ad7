import type { PooledSite } from '../../extraction/site.ts';
import type { Region } from './regions.ts';

/** Kinds of number a review gives: a rate at a site, a difference between two sites, a mean score at a site. */
export const answerKinds = ['rate', 'difference', 'mean'] as const;
export type AnswerKind = (typeof answerKinds)[number];

/** What an answer answers. */
export interface AnswerQuestion {
  readonly kind: AnswerKind;
  /** The outcome's id in the protocol. */
  readonly outcome: string;
  readonly site: PooledSite;
  /** For a difference: what the site is set against. */
  readonly comparator?: PooledSite;
}

/** Kinds of studies a difference may come from, the stronger first. */
export const differenceDesigns = ['randomised trials', 'non-randomised studies'] as const;
export type DifferenceDesign = (typeof differenceDesigns)[number];

/** One number of a review, on the scale it is told on. */
export interface Answer {
  readonly question: AnswerQuestion;
  readonly key: string;
  readonly outcomeName: string;
  /** `Subpectoral`, or `Suprapectoral against subpectoral`. */
  readonly name: string;
  /** `per 100 shoulders`, or `points (Visual analogue scale for pain, 0 to 10)`. */
  readonly unit: string;
  /** Undefined when nothing could be pooled. */
  readonly value: number | undefined;
  readonly lower: number | undefined;
  readonly upper: number | undefined;
  readonly studies: number;
  /** For a difference: the studies it comes from. */
  readonly design?: DifferenceDesign;
  /** Shoulders in the number; of every arm where there is none. The studies likewise. */
  readonly shoulders: number;
  /**
   * For a difference: the part that no evidence could exclude, because the risk it is said at may itself lie below the
   * smallest difference that matters.
   */
  readonly alwaysOpen?: Region;
  /** The protocol's smallest difference that matters, in the same unit. */
  readonly material: number;
}

/** One text for a question, the same in every version. */
export function questionKey({ kind, outcome, site, comparator }: AnswerQuestion): string {
  return [kind, outcome, site, ...(comparator === undefined ? [] : [comparator])].join(' ');
}
