import type { ArmEvents } from '../extraction/armEvents.ts';
import type { Interval } from '../numerics/interval.ts';
import type { BinomialNormalFit } from './binomialNormalFit.ts';
import type { Caution } from './caution.ts';
import type { PooledResult } from './pooledResult.ts';
import type { ResolvedRatePoolOptions } from './ratePoolOptions.ts';

export type { BinomialNormalFit } from './binomialNormalFit.ts';

/** The rate, interval and prediction interval to print (0 to 1), and which method they come from. */
export interface RateHeadline {
  /** `two-step`: pooled on the analysis scale. `exact`: all shoulders together, when none or all had the event. */
  readonly basis: 'two-step' | 'exact';
  readonly rate: number;
  readonly interval: Interval;
  readonly prediction: Interval | undefined;
}

/** One outcome at one site: what the rate is, by the headline method, with the check beside it. */
export interface PooledRate {
  readonly kind: 'pooled-rate';
  readonly options: ResolvedRatePoolOptions;
  /** Distinct studies among the arms. */
  readonly studies: number;
  readonly arms: readonly ArmEvents[];
  readonly shoulders: number;
  readonly events: number;
  /** Undefined when nothing could be pooled. */
  readonly headline: RateHeadline | undefined;
  readonly twoStep: PooledResult;
  readonly oneStep: BinomialNormalFit;
  /** Exact (Clopper-Pearson) interval over the combined shoulders when no arm had an event, or all had. */
  readonly combinedExact: Interval | undefined;
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}
