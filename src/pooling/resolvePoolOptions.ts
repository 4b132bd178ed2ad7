import { analysisScales } from '../effects/analysisScale.ts';
import { checkChoice, checkLevel, checkOptionNames } from './optionChecks.ts';
import {
  type BootstrapOptions,
  type MeanInterval,
  meanIntervals,
  type PoolingModel,
  type PoolOptions,
  poolingModels,
  predictionIntervals,
  type ResolvedPoolOptions,
  type VarianceEstimator,
  varianceEstimators,
  varianceIntervals,
} from './poolOptions.ts';

/** Names of every option of a pool. */
export const poolOptionNames = [
  'model',
  'betweenStudyVariance',
  'interval',
  'prediction',
  'varianceInterval',
  'bootstrap',
  'level',
  'scale',
  'leftOut',
] as const satisfies readonly (keyof PoolOptions)[];

/**
 * Fills in the defaults of a pool: DerSimonian-Laird random effects, Wald interval, prediction by t with k - 2
 * degrees of freedom, level 0.95.
 *
 * @throws RangeError for an unknown option or value, naming the allowed ones and the value received
 */
export function resolvePoolOptions(options: PoolOptions = {}): ResolvedPoolOptions {
  checkOptionNames(options, poolOptionNames);
  if (options.scale !== undefined) checkChoice('scale', options.scale, analysisScales);
  const model = checkChoice('model', options.model ?? 'random-effects', poolingModels);
  const betweenStudyVariance = checkChoice(
    'betweenStudyVariance',
    options.betweenStudyVariance ?? 'dersimonian-laird',
    varianceEstimators,
  );
  const interval = checkChoice('interval', options.interval ?? 'wald', meanIntervals);
  if (!intervalGoesWith(interval, model, betweenStudyVariance)) {
    throw new RangeError(
      `interval "${interval}" is centred on the maximum-likelihood mean: it needs model "random-effects" and betweenStudyVariance "maximum-likelihood", received "${model}" and "${betweenStudyVariance}"`,
    );
  }
  const prediction = checkChoice('prediction', options.prediction ?? 't-k-minus-2', predictionIntervals);
  return {
    model,
    betweenStudyVariance,
    interval,
    prediction,
    varianceInterval: checkChoice(
      'varianceInterval',
      options.varianceInterval ?? 'q-profile',
      varianceIntervals,
    ),
    ...(prediction === 'bootstrap' ? { bootstrap: checkBootstrap(options.bootstrap) } : {}),
    level: checkLevel(options.level ?? 0.95),
  };
}

/** Profile-likelihood intervals belong to the maximum-likelihood mean; every other interval goes with any estimator. */
export function intervalGoesWith(
  interval: MeanInterval,
  model: PoolingModel,
  betweenStudyVariance: VarianceEstimator,
): boolean {
  const fromLikelihood = interval === 'profile-likelihood' || interval === 'bartlett-profile-likelihood';
  return !fromLikelihood || (model === 'random-effects' && betweenStudyVariance === 'maximum-likelihood');
}

function checkBootstrap(bootstrap: BootstrapOptions = { draws: 5000, seed: 1 }): BootstrapOptions {
  const { draws, seed } = bootstrap;
  if (!(Number.isInteger(draws) && draws >= 100 && draws <= 1_000_000)) {
    throw new RangeError(`bootstrap.draws must be a whole number from 100 to 1000000, received ${draws}`);
  }
  if (!Number.isInteger(seed))
    throw new RangeError(`bootstrap.seed must be a whole number, received ${seed}`);
  return { draws, seed };
}
