import { normalCumulative } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import { integrateDeviation } from '../../pooling/bayesian/deviationPosterior.ts';
import {
  type DeviationPrior,
  deviationPriorScale,
  logDeviationPrior,
} from '../../pooling/bayesian/deviationPrior.ts';
import {
  mixtureCumulative,
  mixtureMoments,
  mixtureQuantile,
  type NormalMixture,
} from '../../pooling/bayesian/normalMixture.ts';
import { resolvePosteriorOptions } from '../../pooling/bayesian/posteriorOptions.ts';
import { posteriorProperties } from '../../pooling/bayesian/posteriorProperties.ts';
import { checkChoice, checkOptionNames } from '../../pooling/optionChecks.ts';
import type { NetworkPart } from './networkResult.ts';
import { rankDirections } from './rankTreatments.ts';
import { solveNetwork, varianceOfDifference } from './solveNetwork.ts';

export interface NetworkPosteriorOptions {
  /** Prior of the between-study standard deviation; default half-normal with scale 0.5 for log ratios, none elsewhere. */
  readonly deviationPrior?: DeviationPrior;
  /** Coverage of the equal-tailed intervals, default 0.95. */
  readonly level?: number;
  /** Which end of the scale is good; needed for surface scores only. */
  readonly better?: (typeof rankDirections)[number];
}

export interface PosteriorNumbers {
  readonly mean: number;
  readonly standardDeviation: number;
  readonly median: number;
  readonly interval: Interval;
}

export interface PosteriorComparison extends PosteriorNumbers {
  readonly treatment: string;
  readonly comparator: string;
  /** Where the true effect of the next study lies with the same probability. */
  readonly prediction: Interval;
  readonly probabilityBelowZero: number;
}

export interface NetworkPosterior {
  readonly kind: 'network-posterior';
  readonly deviationPrior: DeviationPrior;
  readonly level: number;
  readonly comparisons: readonly PosteriorComparison[];
  readonly betweenStudyDeviation: { readonly mean: number; readonly standardDeviation: number };
  /** Mean probability of being better than another treatment; undefined unless `better` was given. */
  readonly surfaceScores: readonly { readonly treatment: string; readonly score: number }[] | undefined;
  /** Largest difference between the finer and the coarser rule of integration, in any probability printed. */
  readonly disagreement: number;
  readonly methodsSentence: string;
}

/**
 * What is to be believed of every pair, given a stated prior on how much studies differ?
 *
 * Flat priors on the effects. Given τ the effects are multivariate normal with the generalised least squares answer
 * for mean and covariance, and the density of τ is its prior times the restricted likelihood:
 * `p(τ | y) ∝ p(τ) |XᵀV⁻¹X|^(-1/2) |V|^(-1/2) exp(-Q(τ²)/2)`. That leaves one integral, done by adaptive quadrature.
 * Deterministic integration was chosen over sampling because it is exact to about eight digits, the same every time,
 * takes milliseconds, and needs no judgement of convergence; the two rules of integration check each other instead.
 *
 * @returns undefined when the data and the prior leave the posterior improper
 * @throws RangeError for an unknown option or an impossible prior
 * @see Dias S, Sutton AJ, Ades AE, Welton NJ. Med Decis Making 2013;33:607-617 (the model). Gelman A,
 *   Carlin JB, Stern HS, et al. Bayesian Data Analysis, 3rd ed. 2013, section 5.4 (integrating the effects out).
 * @example
 * posteriorNetwork(network.parts[0]!, { deviationPrior: { kind: 'uniform', upper: 5 } })?.comparisons[0]?.mean
 */
export function posteriorNetwork(
  part: NetworkPart,
  options: NetworkPosteriorOptions = {},
): NetworkPosterior | undefined {
  checkOptionNames(options, ['deviationPrior', 'level', 'better']);
  const scale = part.studies[0]!.scale;
  const { deviationPrior, level } = resolvePosteriorOptions(
    {
      ...(options.deviationPrior && { deviationPrior: options.deviationPrior }),
      level: options.level ?? 0.95,
    },
    {
      deviationPrior: scale.startsWith('log-') ? { kind: 'half-normal', scale: 0.5 } : undefined,
      meanPrior: { kind: 'flat' },
    },
    scale,
  );
  const better =
    options.better === undefined ? undefined : checkChoice('better', options.better, rankDirections);
  const { system } = part;
  const properties = posteriorProperties(system.degreesOfFreedom + 1, deviationPrior, { kind: 'flat' });
  if (!properties.proper || properties.deviationMoments < 2) return undefined;
  const evaluate = (deviation: number) => {
    const { effects, covariance, restrictedLogLikelihood } = solveNetwork(system, deviation * deviation);
    return {
      logDensity: restrictedLogLikelihood + logDeviationPrior(deviationPrior, deviation),
      payload: { effects, covariance },
    };
  };
  const least = Math.min(
    ...system.studies.flatMap(({ covariance, size }) =>
      Array.from({ length: size }, (_, i) => covariance[i * size + i]!),
    ),
  );
  const posterior = integrateDeviation(evaluate, (deviation) => evaluate(deviation).logDensity, {
    scale: Math.min(deviationPriorScale(deviationPrior), 0.5 * Math.sqrt(least)),
    upper: deviationPrior.kind === 'uniform' ? deviationPrior.upper : Number.POSITIVE_INFINITY,
    moments: 2,
    tolerance: 1e-9,
  });
  const { nodes } = posterior;
  const weights = Float64Array.from(nodes, ({ weight }) => weight);
  const coarse = Float64Array.from(nodes, ({ coarseWeight }) => coarseWeight);
  const count = system.treatments.length;
  const tail = (1 - level) / 2;
  let disagreement = posterior.relativeError;
  const limits = (mixture: NormalMixture): readonly [number, number, number] => {
    const { mean, deviation } = mixtureMoments(mixture);
    const at = [tail, 0.5, 1 - tail].map((probability, i) =>
      mixtureQuantile(mixture, probability, mean + (i - 1) * 2 * deviation),
    ) as [number, number, number];
    for (const x of at)
      disagreement = Math.max(
        disagreement,
        Math.abs(mixtureCumulative({ ...mixture, weights: coarse }, x) - mixtureCumulative(mixture, x)),
      );
    return at;
  };
  const places = new Map(system.treatments.map((treatment, place) => [treatment, place]));
  const comparisons = part.comparisons.map(({ treatment, comparator }): PosteriorComparison => {
    const one = places.get(treatment)!;
    const other = places.get(comparator)!;
    const means = Float64Array.from(nodes, ({ payload }) => payload.effects[one]! - payload.effects[other]!);
    const deviations = Float64Array.from(nodes, ({ payload }) =>
      Math.sqrt(varianceOfDifference(payload.covariance, count, one, other)),
    );
    const mixture = { weights, means, deviations };
    const { mean, deviation } = mixtureMoments(mixture);
    const [lower, median, upper] = limits(mixture);
    const next = limits({
      weights,
      means,
      deviations: Float64Array.from(nodes, (node, i) => Math.hypot(deviations[i]!, node.deviation)),
    });
    return {
      treatment,
      comparator,
      mean,
      standardDeviation: deviation,
      median,
      interval: { lower, upper, level },
      prediction: { lower: next[0], upper: next[2], level },
      probabilityBelowZero: mixtureCumulative(mixture, 0),
    };
  });
  let mean = 0;
  let square = 0;
  for (const { weight, deviation } of nodes) {
    mean += weight * deviation;
    square += weight * deviation * deviation;
  }
  return {
    kind: 'network-posterior',
    deviationPrior,
    level,
    comparisons,
    betweenStudyDeviation: { mean, standardDeviation: Math.sqrt(Math.max(0, square - mean * mean)) },
    surfaceScores: better && surfaceScores(system.treatments, nodes, better),
    disagreement,
    methodsSentence: `The network was also analysed in a Bayesian random-effects model with flat priors on the effects and a ${deviationPrior.kind} prior on the between-study standard deviation, integrated by deterministic quadrature; intervals are equal-tailed.`,
  };
}

/** Surface under the cumulative ranking: the P-score averaged over the posterior of τ. */
function surfaceScores(
  treatments: readonly string[],
  nodes: readonly {
    readonly weight: number;
    readonly payload: { readonly effects: Float64Array; readonly covariance: Float64Array };
  }[],
  better: (typeof rankDirections)[number],
): readonly { readonly treatment: string; readonly score: number }[] {
  const count = treatments.length;
  const sign = better === 'lower' ? 1 : -1;
  return treatments.map((treatment, i) => {
    let score = 0;
    for (const { weight, payload } of nodes)
      for (let j = 0; j < count; j++) {
        if (i === j) continue;
        const deviation = Math.sqrt(varianceOfDifference(payload.covariance, count, i, j));
        score +=
          (weight * normalCumulative((sign * (payload.effects[j]! - payload.effects[i]!)) / deviation)) /
          (count - 1);
      }
    return { treatment, score };
  });
}
