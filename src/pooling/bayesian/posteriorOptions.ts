import { checkLevel, checkOptionNames, show } from '../optionChecks.ts';
import { type DeviationPrior, deviationPriorKinds } from './deviationPrior.ts';
import { type MeanPrior, meanPriorKinds } from './meanPrior.ts';

/** How a posterior is to be found; every choice has a default except where the scale has no natural one. */
export interface PosteriorOptions {
  /** Prior of the between-study standard deviation, on the analysis scale. */
  readonly deviationPrior?: DeviationPrior;
  /** Prior of the mean, on the analysis scale. */
  readonly meanPrior?: MeanPrior;
  /** Probability every interval holds, default 0.95; intervals leave the same probability on either side. */
  readonly level?: number;
  /** Whether each study's own (shrunken) value is worked out, default true. */
  readonly studyEffects?: boolean;
}

export interface ResolvedPosteriorOptions {
  readonly deviationPrior: DeviationPrior;
  readonly meanPrior: MeanPrior;
  readonly level: number;
  readonly studyEffects: boolean;
}

/** Names of every option of a posterior. */
export const posteriorOptionNames = [
  'deviationPrior',
  'meanPrior',
  'level',
  'studyEffects',
] as const satisfies readonly (keyof PosteriorOptions)[];

/**
 * Fills in defaults and checks every number of the priors.
 *
 * @throws RangeError for an unknown option, kind or field, or a number out of bounds, naming what is allowed
 */
export function resolvePosteriorOptions(
  options: PosteriorOptions,
  defaults: { readonly deviationPrior: DeviationPrior | undefined; readonly meanPrior: MeanPrior },
  scaleName: string,
): ResolvedPosteriorOptions {
  checkOptionNames(options, posteriorOptionNames);
  const deviationPrior = options.deviationPrior ?? defaults.deviationPrior;
  if (!deviationPrior) {
    throw new RangeError(
      `deviationPrior must be given on the scale "${scaleName}": how far studies may differ depends on the unit, ` +
        'and no default would suit every one',
    );
  }
  const studyEffects = options.studyEffects ?? true;
  if (typeof studyEffects !== 'boolean') {
    throw new RangeError(`studyEffects must be true or false, received ${show(studyEffects)}`);
  }
  return {
    deviationPrior: checkDeviationPrior(deviationPrior),
    meanPrior: checkMeanPrior(options.meanPrior ?? defaults.meanPrior),
    level: checkLevel(options.level ?? 0.95),
    studyEffects,
  };
}

const deviationPriorFields: Readonly<Record<DeviationPrior['kind'], readonly string[]>> = {
  'half-normal': ['scale'],
  'half-cauchy': ['scale'],
  uniform: ['upper'],
  flat: [],
  'log-normal': ['logMean', 'logDeviation'],
  'gamma-on-precision': ['shape', 'rate'],
};

/** Throws unless the prior is one of the known kinds with numbers in bounds. */
export function checkDeviationPrior(prior: DeviationPrior): DeviationPrior {
  if (!deviationPriorKinds.includes(prior?.kind)) {
    throw new RangeError(
      `deviationPrior.kind must be one of ${deviationPriorKinds.join(', ')}, received ${show(prior?.kind)}`,
    );
  }
  checkFields('deviationPrior', prior, deviationPriorFields[prior.kind], ['logMean']);
  return prior;
}

/** Throws unless the prior is one of the known kinds with numbers in bounds. */
export function checkMeanPrior(prior: MeanPrior): MeanPrior {
  if (!meanPriorKinds.includes(prior?.kind)) {
    throw new RangeError(
      `meanPrior.kind must be one of ${meanPriorKinds.join(', ')}, received ${show(prior?.kind)}`,
    );
  }
  checkFields('meanPrior', prior, prior.kind === 'normal' ? ['mean', 'deviation'] : [], ['mean']);
  return prior;
}

// Every number lies between these: wide enough for any unit, narrow enough that squares stay finite.
const smallest = 1e-100;
const largest = 1e100;

function checkFields(
  name: string,
  prior: object,
  fields: readonly string[],
  signed: readonly string[],
): void {
  for (const key of Object.keys(prior)) {
    if (key !== 'kind' && !fields.includes(key)) {
      throw new RangeError(`${name} has no field ${show(key)}, the fields are kind, ${fields.join(', ')}`);
    }
  }
  for (const field of fields) {
    const value = (prior as Record<string, unknown>)[field];
    if (typeof value !== 'number' || !Number.isFinite(value)) {
      throw new RangeError(`${name}.${field} must be a finite number, received ${show(value)}`);
    }
    if (!signed.includes(field) && !(value >= smallest && value <= largest)) {
      throw new RangeError(`${name}.${field} must be above 0 (${smallest} to ${largest}), received ${value}`);
    }
  }
}
