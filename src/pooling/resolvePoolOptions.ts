import { analysisScales } from '../effects/analysisScale.ts';
import { checkChoice, checkLevel, checkOptionNames } from './optionChecks.ts';
import {
  meanIntervals,
  type PoolOptions,
  poolingModels,
  predictionIntervals,
  type ResolvedPoolOptions,
  varianceEstimators,
} from './poolOptions.ts';

/** Names of every option of a pool. */
export const poolOptionNames = [
  'model',
  'betweenStudyVariance',
  'interval',
  'prediction',
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
  return {
    model: checkChoice('model', options.model ?? 'random-effects', poolingModels),
    betweenStudyVariance: checkChoice(
      'betweenStudyVariance',
      options.betweenStudyVariance ?? 'dersimonian-laird',
      varianceEstimators,
    ),
    interval: checkChoice('interval', options.interval ?? 'wald', meanIntervals),
    prediction: checkChoice('prediction', options.prediction ?? 't-k-minus-2', predictionIntervals),
    level: checkLevel(options.level ?? 0.95),
  };
}
