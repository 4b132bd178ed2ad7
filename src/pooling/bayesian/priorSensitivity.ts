import type { Estimate } from '../../effects/estimate.ts';
import { show } from '../optionChecks.ts';
import { type DeviationPrior, describeDeviationPrior } from './deviationPrior.ts';
import { describeMeanPrior, type MeanPrior } from './meanPrior.ts';
import { posteriorBinomialNormal } from './posteriorBinomialNormal.ts';
import { posteriorNormalNormal } from './posteriorNormalNormal.ts';
import type { ResolvedPosteriorOptions } from './posteriorOptions.ts';
import type {
  PosteriorDistribution,
  PosteriorNumerics,
  PosteriorSummary,
  StudyCount,
} from './posteriorResult.ts';
import { type DensityPoint, densityGrid } from './tabulatedDensity.ts';

/** One pair of priors to try; what is left out takes the default of the model. */
export interface PriorChoice {
  /** Name for the table; without one the priors are described in words. */
  readonly name?: string;
  readonly deviationPrior?: DeviationPrior;
  readonly meanPrior?: MeanPrior;
}

/** The answer under one pair of priors. */
export interface PriorSensitivityRow {
  readonly name: string;
  readonly options: ResolvedPosteriorOptions;
  /** Undefined when these priors have no answer with these data; then `reason` says why. */
  readonly answer: PriorSensitivityAnswer | undefined;
  readonly reason: string | undefined;
}

/** Summaries with points to draw each density from. */
export interface PriorSensitivityAnswer {
  readonly mean: PosteriorSummary;
  readonly betweenStudyDeviation: PosteriorSummary;
  readonly prediction: PosteriorSummary;
  /** Rates of the median and of the next hospital, where the data are counts. */
  readonly rate: PosteriorSummary | undefined;
  readonly nextRate: PosteriorSummary | undefined;
  readonly densities: {
    readonly mean: readonly DensityPoint[];
    readonly betweenStudyDeviation: readonly DensityPoint[];
    readonly prediction: readonly DensityPoint[];
  };
  readonly numerics: PosteriorNumerics;
}

/** One set of data under several priors. */
export interface PriorSensitivity {
  readonly kind: 'prior-sensitivity';
  readonly model: 'normal-normal' | 'binomial-normal';
  readonly rows: readonly PriorSensitivityRow[];
  /** Lowest and highest posterior median over the rows with an answer, on the analysis scale. */
  readonly medians:
    | { readonly mean: readonly [number, number]; readonly betweenStudyDeviation: readonly [number, number] }
    | undefined;
  readonly methodsSentence: string;
}

/** Priors of the between-study standard deviation that suit logits, log odds ratios and log risk ratios. */
export const usualDeviationPriors: readonly PriorChoice[] = [
  { name: 'half-normal 0.5', deviationPrior: { kind: 'half-normal', scale: 0.5 } },
  { name: 'half-normal 1', deviationPrior: { kind: 'half-normal', scale: 1 } },
  { name: 'half-Cauchy 0.5', deviationPrior: { kind: 'half-cauchy', scale: 0.5 } },
  { name: 'half-Cauchy 1', deviationPrior: { kind: 'half-cauchy', scale: 1 } },
  { name: 'uniform 0 to 4', deviationPrior: { kind: 'uniform', upper: 4 } },
];

/**
 * How far does the answer move when the priors do?
 *
 * The same data under each pair of priors in turn, with points of every density for a picture. A pair without an
 * answer keeps its row and says why.
 *
 * @param data counts (exact binomial model) or estimates (normal model), at least one row
 * @param priors at least one pair
 * @param options.level probability every interval holds, default 0.95
 * @param options.points points of each density, default 128
 * @throws RangeError without data or priors, and as the two models do
 *
 * @example
 * priorSensitivity(arms, usualDeviationPriors).rows.map((row) => row.answer?.rate?.median)
 */
export function priorSensitivity(
  data: readonly StudyCount[] | readonly Estimate[],
  priors: readonly PriorChoice[],
  options: { readonly level?: number; readonly points?: number } = {},
): PriorSensitivity {
  for (const key of Object.keys(options)) {
    if (key !== 'level' && key !== 'points') {
      throw new RangeError(`unknown option ${show(key)}, the options are level, points`);
    }
  }
  if (data.length === 0) throw new RangeError('data must hold at least one row, received none');
  if (priors.length === 0) throw new RangeError('priors must hold at least one pair, received none');
  const counts = 'events' in data[0]!;
  const { level = 0.95, points = 128 } = options;
  const rows = priors.map(({ name, deviationPrior, meanPrior }): PriorSensitivityRow => {
    const chosen = {
      ...(deviationPrior && { deviationPrior }),
      ...(meanPrior && { meanPrior }),
      level,
      studyEffects: false,
    };
    const posterior = counts
      ? posteriorBinomialNormal(data as readonly StudyCount[], chosen)
      : posteriorNormalNormal(data as readonly Estimate[], chosen);
    const resolved = posterior.options;
    const words = `${describeDeviationPrior(resolved.deviationPrior)}; mean ${describeMeanPrior(resolved.meanPrior)}`;
    if (posterior.status === 'refused') {
      return { name: name ?? words, options: resolved, answer: undefined, reason: posterior.reason };
    }
    const { mean, betweenStudyDeviation, prediction, numerics } = posterior;
    const binomial = posterior.kind === 'posterior-binomial-normal';
    return {
      name: name ?? words,
      options: resolved,
      reason: undefined,
      answer: {
        mean: withoutDensity(mean),
        betweenStudyDeviation: withoutDensity(betweenStudyDeviation),
        prediction: withoutDensity(prediction),
        rate: binomial ? posterior.rate : undefined,
        nextRate: binomial ? posterior.nextRate : undefined,
        densities: {
          mean: densityGrid(mean.density, { points }),
          betweenStudyDeviation: densityGrid(betweenStudyDeviation.density, { points }),
          prediction: densityGrid(prediction.density, { points }),
        },
        numerics,
      },
    };
  });
  const answers = rows.flatMap((row) => row.answer ?? []);
  const model = counts ? 'binomial-normal' : 'normal-normal';
  return {
    kind: 'prior-sensitivity',
    model,
    rows,
    medians:
      answers.length === 0
        ? undefined
        : {
            mean: rangeOf(answers.map((answer) => answer.mean.median)),
            betweenStudyDeviation: rangeOf(answers.map((answer) => answer.betweenStudyDeviation.median)),
          },
    methodsSentence: `The Bayesian ${model} pool was repeated under ${rows.length} pairs of priors (between-study standard deviation: ${rows.map((row) => describeDeviationPrior(row.options.deviationPrior)).join('; ')}; mean: ${[...new Set(rows.map((row) => describeMeanPrior(row.options.meanPrior)))].join('; ')}).`,
  };
}

function withoutDensity({ density: _, ...summary }: PosteriorDistribution): PosteriorSummary {
  return summary;
}

function rangeOf(values: readonly number[]): readonly [number, number] {
  return [Math.min(...values), Math.max(...values)];
}
