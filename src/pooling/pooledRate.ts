import type { ArmEvents } from '../extraction/armEvents.ts';
import type { Interval } from '../numerics/interval.ts';
import type { Caution } from './caution.ts';
import type { PooledResult } from './pooledResult.ts';

/** The binomial-normal model fitted to the counts themselves: the check that needs no correction at zero. */
export interface BinomialNormalFit {
  readonly kind: 'binomial-normal-fit';
  readonly status:
    | 'converged'
    | 'boundary'
    | 'not-converged'
    | 'no-events'
    | 'all-events'
    | 'nothing-to-pool';
  /** Why the status is what it is, in words, for every status but `converged`. */
  readonly reason: string | undefined;
  /** Mean on the logit scale and its standard error. */
  readonly mean: number | undefined;
  readonly standardError: number | undefined;
  /** Between-study standard deviation on the logit scale. */
  readonly betweenStudyDeviation: number | undefined;
  readonly logLikelihood: number | undefined;
  /** Rate in a study at the mean (the median study), 0 to 1, with its interval. */
  readonly rate: number | undefined;
  readonly interval: Interval | undefined;
  /** Rate to expect in the next study. */
  readonly prediction: Interval | undefined;
  readonly quadraturePoints: number;
  readonly level: number;
}

/** One outcome at one site: what the rate is, by the headline method, with the check beside it. */
export interface PooledRate {
  readonly kind: 'pooled-rate';
  readonly studies: number;
  readonly arms: readonly ArmEvents[];
  readonly shoulders: number;
  readonly events: number;
  /** Rate, interval and prediction interval to print (0 to 1), and which method they come from. */
  readonly headline:
    | {
        readonly basis: 'two-step' | 'exact';
        readonly rate: number;
        readonly interval: Interval;
        readonly prediction: Interval | undefined;
      }
    | undefined;
  readonly twoStep: PooledResult;
  readonly oneStep: BinomialNormalFit;
  /** Exact (Clopper-Pearson) interval over the combined shoulders when no arm had an event, or all had. */
  readonly combinedExact: Interval | undefined;
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}
