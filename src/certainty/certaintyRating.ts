import type { RowAddress } from '../extraction/rowAddress.ts';
import type { Caution } from '../pooling/caution.ts';
import type { BodyOfEvidence } from './bodyOfEvidence.ts';
import type { OpenDecision } from './certaintyDecision.ts';
import type { CertaintyQuestion } from './certaintyQuestion.ts';

/** Certainty of a body of evidence, from least to most (Balshem 2011, J Clin Epidemiol 64:401). */
export const certaintyLevels = ['very low', 'low', 'moderate', 'high'] as const;
export type CertaintyLevel = (typeof certaintyLevels)[number];

/** Reasons to rate down. */
export const domainsDown = [
  'risk of bias',
  'inconsistency',
  'indirectness',
  'imprecision',
  'publication bias',
] as const;

/** Reasons to rate up. */
export const domainsUp = ['large effect', 'dose-response', 'opposing confounding'] as const;

export const certaintyDomains = [...domainsDown, ...domainsUp] as const;
export type CertaintyDomain = (typeof certaintyDomains)[number];

/** One domain: what the data propose, what shows it, and what a person decided. */
export interface DomainJudgement {
  readonly domain: CertaintyDomain;
  /** Levels proposed from the data: 0, or -1 to -3 down, or +1 to +2 up. */
  readonly proposed: number;
  /** The evidence for the proposal, in sentences with numbers. */
  readonly evidence: readonly string[];
  /** Those of the sentences that made the proposed step; undefined where nothing is proposed. */
  readonly decisive?: readonly string[] | undefined;
  /** Levels a person decided on; undefined while nobody has looked. */
  readonly decided: number | undefined;
  /** The person's reason, always given with a decision, whether it keeps the proposal or not. */
  readonly reason: string | undefined;
  /** Line of the sheet the decision stands on. */
  readonly row: RowAddress | undefined;
  /** The levels that count: the decision, or the proposal until there is one. */
  readonly levels: number;
}

/** One line of the arithmetic from the starting level to the final one. */
export interface CertaintyStep {
  /** The start, a domain, or the bounds of the scale. */
  readonly what: CertaintyDomain | 'start' | 'bounds';
  /** Levels down (negative) or up. */
  readonly levels: number;
  /** Where this leaves the sum: 0 very low, 3 high; may lie outside until the last step. */
  readonly sum: number;
  readonly words: string;
}

/** Size of an effect by the protocol's thresholds; `plain` where the protocol names no moderate one, or beyond it. */
export const effectSizes = ['large', 'plain', 'slight', 'little to no'] as const;
export type EffectSize = (typeof effectSizes)[number];

/** The highest level a body may have, whatever is decided, with the reason. */
export interface CertaintyCeiling {
  readonly level: CertaintyLevel;
  readonly reason: string;
}

/** How sure a reader may be of one answer, and every step that led there. */
export interface CertaintyRating {
  readonly kind: 'certainty-rating';
  readonly question: CertaintyQuestion;
  /** `high` or `low`, and why: the kind of question and the designs. */
  readonly start: { readonly level: CertaintyLevel; readonly reason: string };
  readonly domains: readonly DomainJudgement[];
  /** Undefined where the body may be rated high. */
  readonly ceiling?: CertaintyCeiling | undefined;
  /** Undefined when no study answers the question. */
  readonly level: CertaintyLevel | undefined;
  /**
   * True once a person has decided, on this body as it is now, on every domain that must be judged, and no decision is
   * open; a page says so when it is false.
   */
  readonly confirmed: boolean;
  /** Decisions on this question that do not count, each with the reason; their domains stand as proposed. */
  readonly decisionsOpen: readonly OpenDecision[];
  /** One sentence in the standard wording, by certainty and size of effect, with absolute numbers. */
  readonly sentence: string;
  /** Rows of the extraction sheets behind the rating. */
  readonly rows: readonly RowAddress[];
  readonly cautions: readonly Caution[];
  /** The studies that are rated, and their answer in numbers of 100. */
  readonly body: BodyOfEvidence;
  /** The arithmetic, line by line; empty when there is no level. */
  readonly steps: readonly CertaintyStep[];
  /** Undefined for a rate, and where there is no estimate. */
  readonly effectSize: EffectSize | undefined;
  /** Id of the answer this rating belongs to; products print it beside the number. */
  readonly answer?: string;
  /** Other bodies that could answer the same question, rated apart and never mixed in. */
  readonly others: readonly CertaintyRating[];
}
