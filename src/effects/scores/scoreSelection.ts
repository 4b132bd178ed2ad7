import type { OverlapRule, ScoreOutcome, SiteRule, WindowMonths } from '../../extraction/protocol.ts';
import type { StudyDesign } from '../../extraction/sheets/studiesSheet.ts';
import type { LeftOut } from '../estimate.ts';
import type { ConvertSummaryOptions } from './convertSummary.ts';
import type { IntervalQuantile } from './deviationFromInterval.ts';
import type { ScoreKind } from './harmoniseScore.ts';
import type { ScoreArm } from './scoreArm.ts';

/** What to do with a figure that can be converted, but should be converted with doubt. */
export const doubtfulConversions = ['convert', 'leave-out'] as const;
export type DoubtfulConversion = (typeof doubtfulConversions)[number];

/** How printed figures become a mean and a standard deviation. */
export interface ScoreConversionOptions {
  /** Methods for medians with range or quartiles. */
  readonly summary?: Pick<ConvertSummaryOptions, 'mean' | 'standardDeviation' | 'divisor'>;
  /** For confidence intervals, default `t`. */
  readonly intervalQuantile?: IntervalQuantile;
  /** A summary whose skewness test rejects symmetry, default `convert` (and say so on the arm). */
  readonly skewed?: DoubtfulConversion;
  /** A spread that rests on minimum and maximum alone, default `leave-out` (Cochrane Handbook section 6.5.2.6). */
  readonly rangeOnly?: DoubtfulConversion;
  /** Correlation of baseline and final scores, to make a change where a paper prints only the two. */
  readonly correlation?: number;
}

export interface ResolvedScoreConversionOptions {
  readonly summary: Pick<ConvertSummaryOptions, 'mean' | 'standardDeviation' | 'divisor'>;
  readonly intervalQuantile: IntervalQuantile;
  readonly skewed: DoubtfulConversion;
  readonly rangeOnly: DoubtfulConversion;
  readonly correlation: number | undefined;
}

/** What an analysis of scores may do otherwise than the protocol; each departure is said on the result. */
export interface ScoreSelectionDepartures {
  readonly siteRule?: SiteRule;
  /** Scales accepted, best first, by id. */
  readonly scales?: readonly string[];
  /** Kinds of value accepted, best first. */
  readonly valueTypes?: readonly ScoreKind[];
  /** `null` accepts every time point. */
  readonly windowMonths?: WindowMonths | null;
  readonly overlapRule?: OverlapRule;
  readonly designs?: readonly StudyDesign[];
  /** Choices the protocol does not make. */
  readonly conversions?: ScoreConversionOptions;
}

export interface ResolvedScoreSelection {
  readonly siteRule: SiteRule;
  readonly scales: readonly string[];
  readonly valueTypes: readonly ScoreKind[];
  readonly windowMonths: WindowMonths | undefined;
  readonly overlapRule: OverlapRule;
  readonly designs: readonly StudyDesign[];
  readonly conversions: ResolvedScoreConversionOptions;
}

/** One outcome, harmonised: at most one score for each arm, and every other row of its scales with the reason it was not used. */
export interface ScoreSelection {
  readonly outcome: ScoreOutcome;
  /** Arms of every site, soft tissue and unclassified ones included; tell them apart by `site`. */
  readonly arms: readonly ScoreArm[];
  readonly leftOut: readonly LeftOut[];
  /** Sentences, one for each way the selection differs from the protocol. */
  readonly departures: readonly string[];
  readonly options: ResolvedScoreSelection;
}
