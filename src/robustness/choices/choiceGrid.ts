import type { RateScale } from '../../effects/analysisScale.ts';
import type { ZeroEvents } from '../../effects/zeroEvents.ts';
import type { MidGrooveRule, OverlapRule, WindowMonths } from '../../extraction/protocol.ts';
import type { StudyDesign } from '../../extraction/sheets/studiesSheet.ts';
import type { MeanInterval, VarianceEstimator } from '../../pooling/poolOptions.ts';

/** Which definitions and assessors count, best first, under one name. */
export interface DefinitionChoice {
  readonly name: string;
  readonly definitions: readonly string[];
  readonly assessors: readonly string[];
}

/** Which time points count; `null` accepts all. */
export interface WindowChoice {
  readonly name: string;
  readonly windowMonths: WindowMonths | null;
}

/** Which studies count. */
export interface InclusionChoice {
  readonly name: string;
  readonly designs: readonly StudyDesign[];
  /** Leaves out studies {@link lowQualityStudies} names. */
  readonly withoutLowQuality: boolean;
}

/** Studies share one rate, or differ by a variance estimated in this way. */
export type EstimatorChoice = 'common-effect' | VarianceEstimator;

/** What may be decided, dimension by dimension; the first entry of each is the protocol's own. */
export interface ChoiceGrid {
  readonly midGroove: readonly MidGrooveRule[];
  readonly definition: readonly DefinitionChoice[];
  readonly window: readonly WindowChoice[];
  readonly inclusion: readonly InclusionChoice[];
  readonly overlap: readonly OverlapRule[];
  readonly scale: readonly RateScale[];
  readonly zeroEvents: readonly ZeroEvents[];
  readonly estimator: readonly EstimatorChoice[];
  readonly interval: readonly MeanInterval[];
}

/** The dimensions in the order data meet them. */
export const choiceDimensions = [
  'midGroove',
  'definition',
  'window',
  'inclusion',
  'overlap',
  'scale',
  'zeroEvents',
  'estimator',
  'interval',
] as const satisfies readonly (keyof ChoiceGrid)[];
export type ChoiceDimensionId = (typeof choiceDimensions)[number];

/** Each dimension as printed. */
export const choiceDimensionNames: Readonly<Record<ChoiceDimensionId, string>> = {
  midGroove: 'Mid-groove arms',
  definition: 'Definition and assessor',
  window: 'Time window',
  inclusion: 'Studies included',
  overlap: 'Overlapping reports',
  scale: 'Scale',
  zeroEvents: 'Arms without events',
  estimator: 'Between-study variance',
  interval: 'Interval',
};
