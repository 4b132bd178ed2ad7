import type { LeftOut } from '../../effects/estimate.ts';
import type { Interval } from '../../numerics/interval.ts';
import type { Caution } from '../caution.ts';
import type { PooledResult } from '../pooledResult.ts';
import type { ResolvedTwoArmOptions, TwoArmMeasure } from './twoArmOptions.ts';
import type { TwoArmTable } from './twoArmTable.ts';

/** How an attempt to pool two-arm counts ended. */
export const twoArmStatuses = [
  'estimated',
  'boundary',
  'one-study',
  'not-converged',
  'no-finite-estimate',
  'no-events',
  'all-events',
  'nothing-to-pool',
] as const;
export type TwoArmStatus = (typeof twoArmStatuses)[number];

/** What a method did with a study without a single event, or with events in every shoulder of both arms. */
export interface DoubleZeroReport {
  readonly study: string;
  readonly label: string;
  readonly cells: 'no-events' | 'all-events';
  /** Does the study change the answer? */
  readonly carriesInformation: boolean;
  /** What was done, in words. */
  readonly treatment: string;
}

/** Scatter of the studies' own effects around the pooled one. */
export interface TwoArmHeterogeneity {
  readonly q: number;
  readonly degreesOfFreedom: number;
  readonly pValue: number;
  /** What `q` is, in words. */
  readonly basis: string;
}

/** A bound that holds on one side only, where the other side has no limit. */
export interface OneSidedLimit {
  readonly side: 'lower' | 'upper';
  /** On the analysis scale. */
  readonly value: number;
  /** Back-transformed. */
  readonly natural: number;
  /** Coverage of this one side: (1 + level) / 2. */
  readonly level: number;
}

/** Two-arm counts of several studies pooled by one method. */
export interface TwoArmPool {
  readonly kind: 'two-arm-pool';
  /** Full name of the method. */
  readonly method: string;
  readonly source: string;
  readonly measure: TwoArmMeasure;
  readonly options: ResolvedTwoArmOptions;
  readonly status: TwoArmStatus;
  /** Why the status is what it is, for every status but `estimated`. */
  readonly reason: string | undefined;
  /** Pooled effect on the analysis scale: natural logarithm for ratios, plain for differences. */
  readonly value: number | undefined;
  readonly standardError: number | undefined;
  readonly interval: Interval | undefined;
  /** The same as a ratio or a difference of risks; undefined for the arcsine difference. */
  readonly natural: { readonly value: number; readonly interval: Interval | undefined } | undefined;
  readonly oneSidedLimit: OneSidedLimit | undefined;
  /** Two-sided p-value of no effect, from the same principle as the interval. */
  readonly pValue: number | undefined;
  /** Between-study standard deviation on the analysis scale; undefined for a common effect and for one study. */
  readonly betweenStudyDeviation: number | undefined;
  /** Intraclass correlation of the beta-binomial model, 0 to 1; undefined elsewhere. */
  readonly overdispersion: number | undefined;
  readonly logLikelihood: number | undefined;
  /** Points of the quadrature behind the estimate, in each dimension; undefined where nothing is integrated. */
  readonly quadraturePoints: number | undefined;
  readonly heterogeneity: TwoArmHeterogeneity | undefined;
  /** Studies that entered the estimate. */
  readonly studies: number;
  readonly tables: readonly TwoArmTable[];
  readonly doubleZero: readonly DoubleZeroReport[];
  readonly leftOut: readonly LeftOut[];
  /** The two-step result behind the arcsine difference. */
  readonly twoStep: PooledResult | undefined;
  readonly cautions: readonly Caution[];
  /** One sentence naming every choice, ready for a methods section. */
  readonly methodsSentence: string;
}

/** What a method computes; the rest of {@link TwoArmPool} is the same for all. */
export interface TwoArmOutcome {
  readonly status: TwoArmStatus;
  readonly reason?: string | undefined;
  readonly value?: number | undefined;
  readonly standardError?: number | undefined;
  readonly interval?: Interval | undefined;
  readonly oneSidedLimit?: Omit<OneSidedLimit, 'natural'> | undefined;
  readonly pValue?: number | undefined;
  readonly betweenStudyDeviation?: number | undefined;
  readonly overdispersion?: number | undefined;
  readonly logLikelihood?: number | undefined;
  readonly quadraturePoints?: number | undefined;
  readonly heterogeneity?: TwoArmHeterogeneity | undefined;
  readonly twoStep?: PooledResult | undefined;
  readonly cautions?: readonly Caution[];
}
