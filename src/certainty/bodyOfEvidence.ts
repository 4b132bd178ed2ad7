import type { SitePair } from '../comparison/pairs/comparePairs.ts';
import type { AbsoluteEffect, RelativeEffect } from '../effects/absoluteEffect.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';
import type { EventsOutcome } from '../extraction/protocol.ts';
import type { RowAddress } from '../extraction/rowAddress.ts';
import type { ClassifiedSite } from '../extraction/site.ts';
import type { Interval } from '../numerics/interval.ts';
import { notInNumberSentence } from '../pooling/armsInNumber.ts';
import type { QuotedRate } from '../pooling/quoted/quotedRate.ts';

/** Kinds of studies that can answer a question; each is rated as its own body. */
export const bodyDesigns = [
  'arms at one site',
  'randomised trials',
  'non-randomised studies',
  'all comparative studies',
  'series against series',
  'network',
] as const;
export type BodyDesign = (typeof bodyDesigns)[number];

/** A number in 100 shoulders and its limits: a rate, or a difference (negative: fewer). */
export interface InHundred {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

export interface HundredLimits {
  readonly lower: number;
  readonly upper: number;
}

/** One study's part in the answer. */
export interface StudyPart {
  readonly study: string;
  readonly label: string;
  /** Arm, where a study takes part by one arm. */
  readonly arm: string | undefined;
  /** Site of that arm; intervals of different sites are not held against each other. */
  readonly site: ClassifiedSite | undefined;
  /** Share of the weight, 0 to 1; 0 for a study that could not be pooled. */
  readonly weight: number;
  /** The study's own interval on the analysis scale; undefined for a study that could not be pooled. */
  readonly interval: Interval | undefined;
}

/** A study, or an arm of one, that could not be pooled, and why. */
export interface NotInNumber {
  readonly study: string;
  readonly label: string;
  /** Arm, where a study takes part by one arm. */
  readonly arm: string | undefined;
  readonly events: number;
  readonly shoulders: number;
  readonly reason: string;
}

/** What is rated: one kind of studies, their answer in numbers of 100, and what the domains need to know of them. */
export interface BodyOfEvidence {
  readonly design: BodyDesign;
  readonly outcome: EventsOutcome;
  /** Studies in the estimate; what is not in it is never counted here. */
  readonly studies: number;
  /** Of these, randomised trials, where a body holds trials and other studies together. */
  readonly trials?: number;
  /** Shoulders in the estimate. */
  readonly shoulders: number;
  /** Of a network: shoulders a trial of the pair would have to hold to tell as much; left out where counts are missing. */
  readonly effectiveShoulders?: number;
  /** Events in the estimate. */
  readonly events: number;
  /** Studies or arms that answer the question and are not in the estimate. */
  readonly notInNumber: readonly NotInNumber[];
  /** The rate at a site, or the difference between two; undefined when the studies give none. */
  readonly estimate: InHundred | undefined;
  /** Where the next study may lie, in 100. */
  readonly prediction: HundredLimits | undefined;
  /** Where the middle 95 in 100 of the studies' true values lie: mean and between-study deviation, without sampling error. */
  readonly trueSpread: HundredLimits | undefined;
  /** On the analysis scale. */
  readonly betweenStudyDeviation: number | undefined;
  readonly parts: readonly StudyPart[];
  readonly arms: readonly ArmEvents[];
  /** For comparisons: the ratio, as pooled. */
  readonly relative: RelativeEffect | undefined;
  /** For comparisons: the ratio said at each baseline; the first is the one rated. */
  readonly absolute: readonly AbsoluteEffect[];
  readonly rows: readonly RowAddress[];
  /** For the rate at one site: which number is quoted, of what, and what stands beside it. */
  readonly quoted?: QuotedRate;
  /** For studies that hold both sites: the pair as pooled. */
  readonly pair?: SitePair;
}

/** Does no study answer the question at all, whether or not it could be pooled? */
export const nothingAnswers = ({ studies, notInNumber }: BodyOfEvidence): boolean =>
  studies === 0 && notInNumber.length === 0;

/** "2 studies of 60 shoulders without events are not in this number."; empty where the estimate rests on all of them. */
export const notInBodySentence = ({ notInNumber }: BodyOfEvidence): string =>
  notInNumberSentence(
    notInNumber.map(({ events, shoulders }) => ({ events, total: shoulders })),
    notInNumber.some(({ arm }) => arm !== undefined) ? 'arm' : 'study',
  );

/** Share of the weight that meets a condition; 0 without any weight. */
export function shareOfWeight(parts: readonly StudyPart[], meets: (part: StudyPart) => boolean): number {
  const total = parts.reduce((sum, { weight }) => sum + weight, 0);
  if (!(total > 0)) return 0;
  return parts.reduce((sum, part) => sum + (meets(part) ? part.weight : 0), 0) / total;
}
