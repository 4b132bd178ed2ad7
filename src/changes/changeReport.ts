import type { AnswerBody } from '../answers/answer.ts';
import type { CertaintyQuestion } from '../certainty/certaintyQuestion.ts';
import type { CertaintyDomain, CertaintyLevel } from '../certainty/certaintyRating.ts';
import type { OpenDecisions } from '../certainty/openDecisions.ts';
import type { ReviewChanges } from '../extraction/changes/reviewChanges.ts';
import type { SoftwareVersion } from '../extraction/provenance/provenance.ts';
import type { AwaitingRow } from '../extraction/review.ts';
import type { AnswerTold } from './answerTold.ts';
import type { ChangeCause } from './mixReviews.ts';
import type { Cuts, Reach, Region } from './reaches.ts';
import type { CauseSplit } from './splitByCause.ts';
import type { Standing } from './standing.ts';

/** A number as an earlier version printed it. */
export interface SavedNumber {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

/** One number before and after, and what moved it. */
export interface AnswerChange {
  readonly key: string;
  /** Undefined where that version does not ask the question. */
  readonly before: AnswerTold | undefined;
  readonly after: AnswerTold | undefined;
  /** The number the earlier version printed, where it was given; the change starts from it. */
  readonly saved: SavedNumber | undefined;
  /** Undefined unless there is a number before and after. */
  readonly split: CauseSplit<ChangeCause> | undefined;
}

/** A conclusion in one version, with its words. */
export interface ConclusionSide {
  readonly reach: Reach;
  /** In a few words, for a table. */
  readonly short: string;
  readonly clause: string;
  readonly certainty: CertaintyLevel | undefined;
  /** The body that answers; undefined where the version does not ask. */
  readonly body: AnswerBody | undefined;
}

/** One conclusion, before and after: where the difference between two sites lies. */
export interface ConclusionChange {
  readonly key: string;
  /** The later answer, or the earlier where the later version has none. */
  readonly answer: AnswerTold;
  readonly cuts: Cuts;
  readonly before: ConclusionSide;
  readonly after: ConclusionSide;
  readonly standing: Standing;
  /** Causes of which each alone, under the earlier rules or data, gives the later conclusion; empty where it takes several. */
  readonly sufficient: readonly ChangeCause[];
  readonly sentence: string;
}

/** What the evidence says of one thing a recommendation rests on. */
export const premiseStates = ['borne out', 'contradicted', 'cannot be told'] as const;
export type PremiseState = (typeof premiseStates)[number];

/** One thing a recommendation rests on. */
export interface PremiseChange {
  readonly name: string;
  /** What must hold, as a clause. */
  readonly claim: string;
  readonly asked: readonly Region[];
  readonly cuts: Cuts;
  readonly before: PremiseSide;
  readonly after: PremiseSide;
}

export interface PremiseSide {
  readonly answer: AnswerTold | undefined;
  readonly reach: Reach;
  readonly state: PremiseState;
  readonly certainty: CertaintyLevel | undefined;
}

export const recommendationStandings = [
  'no longer stands',
  'can no longer be told',
  'newly contradicted',
  'still contradicted',
  'stands but weaker',
  'still cannot be told',
  'newly borne out',
  'still stands',
] as const;
export type RecommendationStanding = (typeof recommendationStandings)[number];

export interface RecommendationChange {
  readonly recommendation: string;
  readonly statement: string;
  readonly premises: readonly PremiseChange[];
  readonly standing: RecommendationStanding;
  readonly sentence: string;
}

/** One domain of a rating that was judged otherwise. */
export interface DomainChange {
  readonly domain: CertaintyDomain;
  /** Levels, 0 or fewer down, more up. */
  readonly before: number;
  readonly after: number;
  /** The later judgement's reason, or its evidence where nobody gave one. */
  readonly why: string;
}

/** One rating, before and after. */
export interface CertaintyChange {
  readonly question: CertaintyQuestion;
  readonly name: string;
  readonly before: CertaintyLevel | undefined;
  readonly after: CertaintyLevel | undefined;
  readonly domains: readonly DomainChange[];
}

/** Everything the next meeting of a panel asks of a new version. */
export interface ChangeReport {
  readonly kind: 'change-report';
  /** The answer to "does our recommendation still stand?", in two or three sentences. */
  readonly headline: readonly string[];
  readonly changes: ReviewChanges;
  readonly inventedData: boolean;
  readonly notice: string | undefined;
  readonly title: string;
  /** Causes that were at work between the versions. */
  readonly causes: readonly ChangeCause[];
  readonly recommendations: readonly RecommendationChange[];
  /** What changed first. */
  readonly conclusions: readonly ConclusionChange[];
  readonly answers: readonly AnswerChange[];
  /** Ratings whose level or domains differ; undefined where certainty was not rated. */
  readonly certainty: readonly CertaintyChange[] | undefined;
  /** Decisions on certainty that must be taken again in the later version; undefined where certainty was not rated. */
  readonly openDecisions: OpenDecisions | undefined;
  readonly awaiting: readonly AwaitingRow[];
  readonly software: {
    readonly before: SoftwareVersion | undefined;
    readonly after: SoftwareVersion | undefined;
  };
  /** How numbers were compared and split, ready for a methods section. */
  readonly methodsSentence: string;
}
