import { checkChoice, checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import { type PoolingModel, poolingModels } from '../../pooling/poolOptions.ts';
import type { NetworkLeftOut } from './networkStudy.ts';
import { type NetworkVarianceEstimator, networkVarianceEstimators } from './networkVariance.ts';

/**
 * Intervals of a network effect: from the weights, from the scatter around the network, or from the scatter but never
 * narrower than from the weights.
 */
export const networkIntervals = ['wald', 'hartung-knapp', 'truncated-hartung-knapp'] as const;
export type NetworkInterval = (typeof networkIntervals)[number];

export interface NetworkOptions {
  /** Default `random-effects`. */
  readonly model?: PoolingModel;
  /** Default `restricted-maximum-likelihood`. */
  readonly betweenStudyVariance?: NetworkVarianceEstimator;
  /** Default `wald`. */
  readonly interval?: NetworkInterval;
  /** Coverage of every interval, default 0.95. */
  readonly level?: number;
  /** Order in which treatments are listed; those not named follow alphabetically. */
  readonly order?: readonly string[];
  /** Studies left out upstream, carried into the result so that they stay visible. */
  readonly leftOut?: readonly NetworkLeftOut[];
}

export interface ResolvedNetworkOptions {
  readonly model: PoolingModel;
  readonly betweenStudyVariance: NetworkVarianceEstimator;
  readonly interval: NetworkInterval;
  readonly level: number;
}

/**
 * Fills in the defaults of a network: random effects, restricted likelihood, Wald intervals, level 0.95.
 *
 * @throws RangeError for an unknown option or value, naming the allowed ones
 */
export function resolveNetworkOptions(options: NetworkOptions): ResolvedNetworkOptions {
  checkOptionNames(options, ['model', 'betweenStudyVariance', 'interval', 'level', 'order', 'leftOut']);
  return {
    model: checkChoice('model', options.model ?? 'random-effects', poolingModels),
    betweenStudyVariance: checkChoice(
      'betweenStudyVariance',
      options.betweenStudyVariance ?? 'restricted-maximum-likelihood',
      networkVarianceEstimators,
    ),
    interval: checkChoice('interval', options.interval ?? 'wald', networkIntervals),
    level: checkLevel(options.level ?? 0.95),
  };
}

const estimatorNames: Readonly<Record<NetworkVarianceEstimator, string>> = {
  'dersimonian-laird': 'the generalised DerSimonian-Laird method of moments',
  'paule-mandel': 'the Paule-Mandel method',
  'maximum-likelihood': 'maximum likelihood',
  'restricted-maximum-likelihood': 'restricted maximum likelihood',
};

const intervalNames: Readonly<Record<NetworkInterval, string>> = {
  wald: 'from the normal distribution (Wald)',
  'hartung-knapp': 'from the scatter around the network (Hartung-Knapp)',
  'truncated-hartung-knapp':
    'from the scatter around the network, never narrower than the weights allow (truncated Hartung-Knapp)',
};

/** One sentence naming every choice, ready for a methods section. */
export function networkMethodsSentence(
  { model, betweenStudyVariance, interval, level }: ResolvedNetworkOptions,
  counts: {
    readonly studies: number;
    readonly treatments: number;
    readonly parts: number;
    readonly scale: string;
  },
): string {
  const common = model === 'common-effect';
  return [
    `${counts.studies} ${counts.studies === 1 ? 'study' : 'studies'} of ${counts.treatments} treatments were combined in a network (${counts.scale.replaceAll('-', ' ')}) by generalised least squares with the covariance of contrasts that share an arm,`,
    common
      ? 'under a common effect,'
      : `with random effects whose variance, one for all comparisons, was estimated by ${estimatorNames[betweenStudyVariance]},`,
    `and ${Number((100 * level).toPrecision(6))} % intervals ${intervalNames[interval]}.`,
    ...(counts.parts > 1
      ? [
          `The network falls into ${counts.parts} parts without a study between them, each analysed by itself.`,
        ]
      : []),
  ].join(' ');
}
