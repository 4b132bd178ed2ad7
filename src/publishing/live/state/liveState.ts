import type { RateScale } from '../../../effects/analysisScale.ts';
import type { ZeroEvents } from '../../../effects/zeroEvents.ts';
import type { MidGrooveRule, OverlapRule, WindowMonths } from '../../../extraction/protocol.ts';
import type { StudyDesign } from '../../../extraction/sheets/studiesSheet.ts';
import type { PooledSite } from '../../../extraction/site.ts';
import type {
  MeanInterval,
  PoolingModel,
  PredictionIntervalMethod,
  VarianceEstimator,
} from '../../../pooling/poolOptions.ts';

/** What the page can show. */
export const liveViews = ['rates', 'forest', 'funnel', 'sites', 'claim', 'change'] as const;
export type LiveView = (typeof liveViews)[number];

/** Which studies count by how well they were done: all, those not of low quality, those of low concern only. */
export const qualityRules = ['all', 'without-low', 'low-concern'] as const;
export type QualityRule = (typeof qualityRules)[number];

/** Every choice a reader may make, all filled in. */
export interface LiveChoices {
  /** Definitions that count, best first. */
  readonly definitions: readonly string[];
  /** Assessors that count, best first. */
  readonly assessors: readonly string[];
  /** `null` takes any time. */
  readonly windowMonths: WindowMonths | null;
  readonly midGroove: MidGrooveRule;
  readonly overlapRule: OverlapRule;
  readonly designs: readonly StudyDesign[];
  readonly quality: QualityRule;
  readonly model: PoolingModel;
  readonly scale: RateScale;
  readonly zeroEvents: ZeroEvents;
  readonly betweenStudyVariance: VarianceEstimator;
  readonly interval: MeanInterval;
  readonly prediction: PredictionIntervalMethod;
  readonly level: number;
}

/** Choices that belong to one outcome and mean nothing for another. */
export const choicesOfOutcome = ['definitions', 'assessors', 'windowMonths'] as const;

/** Longest sentence the claim check takes. */
export const longestClaim = 500;

/**
 * What the page shows and in what it differs from the protocol: plain data, all a link needs.
 *
 * `departures` holds the choices that differ and no other, so that an empty one is the protocol itself.
 */
export interface LiveState {
  readonly outcome: string;
  readonly view: LiveView;
  readonly departures: Partial<LiveChoices>;
  /** Ids of studies the reader switched off. */
  readonly switchedOff: readonly string[];
  /** The sentence of the claim check; empty until one is typed. */
  readonly claim: string;
  /** The site the claim is set beside, and whose studies are left out in turn. */
  readonly site: PooledSite;
}
