import { checkChoice, checkLevel, checkOptionNames, show } from '../../pooling/optionChecks.ts';
import { poolingModels, type VarianceEstimator, varianceEstimators } from '../../pooling/poolOptions.ts';
import {
  fewStudiesRules,
  type GivenVariance,
  type MetaRegressionOptions,
  type ResolvedMetaRegressionOptions,
  regressionTests,
} from './metaRegression.ts';

const optionNames = [
  'model',
  'betweenStudyVariance',
  'test',
  'studiesPerCovariate',
  'fewStudies',
  'level',
  'leftOut',
] as const satisfies readonly (keyof MetaRegressionOptions)[];

/**
 * Fills in the defaults: random effects by restricted maximum likelihood, Knapp-Hartung tests (cluster-robust
 * ones where rows share a study), level 0.95.
 */
export function resolveRegressionOptions(
  options: MetaRegressionOptions,
  severalRowsOfOneStudy: boolean,
): ResolvedMetaRegressionOptions {
  checkOptionNames(options, optionNames);
  const studiesPerCovariate = options.studiesPerCovariate ?? 10;
  if (!(typeof studiesPerCovariate === 'number' && studiesPerCovariate >= 1 && studiesPerCovariate <= 1000)) {
    throw new RangeError(`studiesPerCovariate must be from 1 to 1000, received ${studiesPerCovariate}`);
  }
  return {
    model: checkChoice('model', options.model ?? 'random-effects', poolingModels),
    betweenStudyVariance: checkVariance(options.betweenStudyVariance ?? 'restricted-maximum-likelihood'),
    test: checkChoice(
      'test',
      options.test ?? (severalRowsOfOneStudy ? 'cluster-robust' : 'knapp-hartung'),
      regressionTests,
    ),
    studiesPerCovariate,
    fewStudies: checkChoice('fewStudies', options.fewStudies ?? 'caution', fewStudiesRules),
    level: checkLevel(options.level ?? 0.95),
  };
}

function checkVariance(value: VarianceEstimator | GivenVariance): VarianceEstimator | GivenVariance {
  if (typeof value === 'string') return checkChoice('betweenStudyVariance', value, varianceEstimators);
  if (!(typeof value.given === 'number' && value.given >= 0 && value.given <= 1e50)) {
    throw new RangeError(`betweenStudyVariance.given must be 0 or more, received ${show(value.given)}`);
  }
  return { given: value.given };
}
