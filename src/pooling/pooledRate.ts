import type { ArmEvents } from '../extraction/armEvents.ts';
import type { Interval } from '../numerics/interval.ts';
import type { ArmNotInNumber } from './armsInNumber.ts';
import type { BinomialNormalFit } from './binomialNormalFit.ts';
import type { Caution } from './caution.ts';
import type { PooledResult } from './pooledResult.ts';
import type { QuotedRate } from './quoted/quotedRate.ts';
import type { ResolvedRatePoolOptions } from './ratePoolOptions.ts';

export type { BinomialNormalFit } from './binomialNormalFit.ts';

/** The rate, interval and prediction interval to print (0 to 1), and which method they come from. */
export interface RateHeadline {
  /**
   * `two-step`: pooled on the analysis scale. `one-step`: a model of the counts, or one arm by itself. `exact`: all
   * shoulders together, when none or all had the event.
   */
  readonly basis: 'two-step' | 'one-step' | 'exact';
  readonly rate: number;
  readonly interval: Interval;
  readonly prediction: Interval | undefined;
}

/** One outcome at one site: what the rate is, by the headline method, with the check beside it. */
export interface PooledRate {
  readonly kind: 'pooled-rate';
  readonly options: ResolvedRatePoolOptions;
  /** Distinct studies among the arms in the headline; 0 without one. */
  readonly studies: number;
  /** Shoulders of the arms in the headline. */
  readonly shoulders: number;
  /** Events of the arms in the headline. */
  readonly events: number;
  /** Every arm handed in, in the headline or not; arms of one study at one site counted together. */
  readonly arms: readonly ArmEvents[];
  /** The arms the headline rests on: those with an estimate on the analysis scale, or all for the exact interval. */
  readonly armsInNumber: readonly ArmEvents[];
  /** The other arms, each with the reason. */
  readonly armsNotInNumber: readonly ArmNotInNumber[];
  /** Undefined when nothing could be pooled. */
  readonly headline: RateHeadline | undefined;
  /** Which number is quoted, of what, and why; undefined in a pool nobody quotes from. */
  readonly quoted?: QuotedRate;
  readonly twoStep: PooledResult;
  readonly oneStep: BinomialNormalFit;
  /** Exact (Clopper-Pearson) interval over the combined shoulders when no arm had an event, or all had. */
  readonly combinedExact: Interval | undefined;
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}
