import type { LeftOut } from '../../effects/estimate.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import type { Interval } from '../../numerics/interval.ts';
import type { BinomialNormalFit } from '../binomialNormalFit.ts';
import type { Caution } from '../caution.ts';

/** Ways of pooling one arm's counts that do not rest on each arm's own normal approximation. */
export const oneArmMethodNames = [
  'binomial-normal-logit',
  'binomial-normal-complementary-log-log',
  'beta-binomial',
  'poisson-normal',
  'exact-binomial',
  'exact-poisson',
] as const;
export type OneArmMethodName = (typeof oneArmMethodNames)[number];

/** What a rate is a rate of: a share of shoulders (0 to 1), or events per 100 shoulder-years. */
export type OneArmUnit = 'proportion' | 'per-100-shoulder-years';

/** What the methods read of an arm. */
export type OneArmCount = Pick<
  ArmEvents,
  'study' | 'label' | 'arm' | 'events' | 'total' | 'followUpMonths' | 'row' | 'merged'
>;

export interface OneArmOptions {
  readonly method: OneArmMethodName;
  /** Coverage of the intervals, default 0.95. */
  readonly level?: number;
  /** Points of the quadrature, where the method integrates; as many as it takes when not given. */
  readonly quadraturePoints?: number;
}

/** One arm's counts of several studies pooled by one method. */
export interface OneArmFit {
  readonly kind: 'one-arm-fit';
  /** Full name of the method. */
  readonly method: string;
  readonly source: string;
  readonly options: Required<Omit<OneArmOptions, 'quadraturePoints'>>;
  readonly status: BinomialNormalFit['status'];
  /** Why the status is what it is, in words, for every status but `converged`. */
  readonly reason: string | undefined;
  /** Mean on the model's own scale (log odds, complementary log-log, log rate per shoulder-year). */
  readonly mean: number | undefined;
  readonly standardError: number | undefined;
  /** Between-study standard deviation on that scale; undefined where the model has none, and for one study. */
  readonly betweenStudyDeviation: number | undefined;
  /** Intraclass correlation of the beta-binomial model, 0 to 1; undefined elsewhere, and for one study. */
  readonly overdispersion: number | undefined;
  readonly logLikelihood: number | undefined;
  /** What `rate`, `interval`, `prediction` and `combinedExact` are. */
  readonly unit: OneArmUnit;
  /** Which study's rate `rate` is: that of the median study, the mean over studies, or of all shoulders as one series. */
  readonly rateOf: 'median-study' | 'mean-study' | 'one-series';
  readonly rate: number | undefined;
  readonly interval: Interval | undefined;
  /** Rate to expect in the next study; undefined where the method has no sound form of it. */
  readonly prediction: Interval | undefined;
  /** Exact interval over all arms taken as one series: the only honest answer when there were no events. */
  readonly combinedExact: Interval | undefined;
  /** Points of the quadrature behind the estimate; undefined where the method does not integrate. */
  readonly quadraturePoints: number | undefined;
  readonly level: number;
  /** Studies that entered the estimate. */
  readonly studies: number;
  readonly events: number;
  readonly shoulders: number;
  /** Undefined where the method does not need time. */
  readonly shoulderYears: number | undefined;
  readonly arms: readonly OneArmCount[];
  readonly leftOut: readonly LeftOut[];
  readonly cautions: readonly Caution[];
  readonly methodsSentence: string;
}

/** What a method computes; the rest of {@link OneArmFit} is the same for all. */
export type OneArmOutcome = Partial<
  Pick<
    OneArmFit,
    | 'mean'
    | 'standardError'
    | 'betweenStudyDeviation'
    | 'overdispersion'
    | 'logLikelihood'
    | 'rate'
    | 'interval'
    | 'prediction'
    | 'quadraturePoints'
    | 'cautions'
  >
> &
  Pick<OneArmFit, 'status' | 'reason'>;

/** Counts with the time they were watched for, where the method needs it (years over all shoulders). */
export interface ArmExposure {
  readonly events: number;
  readonly total: number;
  readonly shoulderYears: number;
}
