import type { BodyDesign } from '../certainty/bodyOfEvidence.ts';
import type { CertaintyLevel, CertaintyRating } from '../certainty/certaintyRating.ts';
import type { SitePair } from '../comparison/pairs/comparePairs.ts';
import type { RelativeEffect } from '../effects/absoluteEffect.ts';
import type { RowAddress } from '../extraction/rowAddress.ts';
import type { PooledSite } from '../extraction/site.ts';
import type { Caution } from '../pooling/caution.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import type { PooledResult } from '../pooling/pooledResult.ts';
import type { MeasuredCoverage } from '../pooling/quoted/measuredCoverage.ts';
import type { Question } from './question.ts';
import type { Verdict } from './verdict.ts';

/** The studies an answer comes from. */
export type AnswerBody = BodyDesign;

/** Units answers are told in. */
export const answerUnits = ['per 100 shoulders', 'points'] as const;
export type AnswerUnit = (typeof answerUnits)[number];

export interface Limits {
  readonly lower: number;
  readonly upper: number;
}

/** The one number a reader is told, in the answer's unit, not rounded; `printAnswer` rounds it, once. */
export interface QuotedNumber extends Limits {
  readonly value: number;
  readonly level: number;
  /** Prediction interval: where the next study may lie. */
  readonly prediction: Limits | undefined;
  readonly unit: AnswerUnit;
  /** What is estimated: `centre on the scale`, `one series`, … */
  readonly estimand: string;
  /** The method in a few words. */
  readonly method: string;
  /** Why this method. */
  readonly why: string;
  /** What its interval was measured to hold in simulated reviews of this kind; undefined where nothing was measured. */
  readonly coverage: MeasuredCoverage | undefined;
  /** For a comparison of counts: the ratio the difference comes from. */
  readonly relative: RelativeEffect | undefined;
}

/**
 * The same question by another method, and whether a reader would be told something else. Rates and means in the answer's
 * unit; for a comparison of counts the ratio (or difference of risks) itself.
 */
export interface OtherMethod extends Limits {
  readonly method: string;
  readonly estimand: string;
  readonly coverage: MeasuredCoverage | undefined;
  readonly value: number;
  /** For a comparison of counts, where it is said at the answer's risk as well: the difference in 100. */
  readonly difference?: Limits & { readonly value: number };
  readonly toldDifferently: boolean;
}

/** The risk a difference is said at. */
export interface BaselineSaid {
  readonly value: number;
  /** Undefined where the risk was named by somebody and has no uncertainty of its own. */
  readonly interval: Limits | undefined;
  /** Whose risk it is. */
  readonly site: PooledSite;
  readonly source: string;
  /** The risk at the first site that follows from it and the effect. */
  readonly follows: Limits & { readonly value: number };
  /** Ratio of the two risks, as if the risk it is said at were known. */
  readonly ratio: Limits & { readonly value: number };
}

/** A study, or an arm of one, that reports the outcome and is not in the number. */
export interface NotInNumber {
  readonly study: string;
  readonly label: string;
  /** Undefined for a whole study. */
  readonly arm: string | undefined;
  readonly shoulders: number;
  readonly reason: string;
}

/** Another body that could answer, with its own numbers; never mixed into the answer. */
export interface OtherBody {
  readonly body: AnswerBody;
  readonly studies: number;
  /** Of these, randomised trials, where the body holds trials and other studies. */
  readonly trials?: number;
  readonly shoulders: number;
  readonly events: number | undefined;
  /** Undefined where its studies give no estimate. */
  readonly quoted: (Limits & { readonly value: number }) | undefined;
  /** For a comparison of counts: the ratio the difference comes from. */
  readonly relative?: RelativeEffect;
  /** Its studies or arms that are not in its number. */
  readonly notInNumber: readonly NotInNumber[];
  readonly certainty: AnswerCertainty;
}

/** How sure one may be, and who says so. */
export interface AnswerCertainty {
  /** The level that counts: decided where people decided, else proposed. Undefined: not rated, or no study. */
  readonly level: CertaintyLevel | undefined;
  /** What the data propose. */
  readonly proposed: CertaintyLevel | undefined;
  /** True once people have decided on every domain that must be judged, for this body as it stands. */
  readonly confirmed: boolean;
  readonly body: AnswerBody;
}

/**
 * The answer to one question, and all that stands behind it. Every product that prints the question's number reads it
 * here; none selects, pools, compares or rates again.
 */
export interface Answer {
  readonly kind: 'answer';
  readonly id: string;
  /** True where nothing departs from the protocol: only then is this the review's answer, whose id products print. */
  readonly asPlanned: boolean;
  readonly question: Question;
  readonly outcomeName: string;
  /** `Subpectoral`, or `Subpectoral against tenotomy`. */
  readonly name: string;
  /** As printed: `per 100 shoulders`, or `points (Visual analogue scale for pain, 0 to 10)`. */
  readonly unit: string;
  /** The protocol's smallest difference that matters, in the same unit; undefined on a scale it was not stated for. */
  readonly material: number | undefined;
  readonly body: AnswerBody;
  /** Why this body answers. */
  readonly bodyRule: string;
  /** Every other body that has a say, strongest design first; a network is worked out when this is first read. */
  readonly otherBodies: readonly OtherBody[];
  /** Of what is in the number, and of nothing else. */
  readonly studies: number;
  /** Of these, randomised trials, where the protocol has them pooled together with other studies. */
  readonly trials?: number;
  readonly shoulders: number;
  /** Undefined for a score. */
  readonly events: number | undefined;
  readonly notInNumber: readonly NotInNumber[];
  /** Undefined when nothing could be estimated. */
  readonly quoted: QuotedNumber | undefined;
  readonly otherMethods: readonly OtherMethod[];
  /** For a comparison of counts with an estimate. */
  readonly risk: BaselineSaid | undefined;
  readonly certainty: AnswerCertainty;
  readonly verdict: Verdict;
  /** The answer in one sentence, in the standard words for its certainty. */
  readonly sentence: string;
  readonly cautions: readonly Caution[];
  /** Rows of the sheets behind it. */
  readonly rows: readonly RowAddress[];
  /** The results it was made from, for pictures and tables of its parts. */
  readonly behind: {
    readonly rating?: CertaintyRating;
    readonly pool?: PooledRate;
    readonly pair?: SitePair;
    readonly means?: PooledResult;
  };
}
