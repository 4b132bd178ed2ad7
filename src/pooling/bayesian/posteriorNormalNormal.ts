import type { AnalysisScale } from '../../effects/analysisScale.ts';
import type { Estimate } from '../../effects/estimate.ts';
import { normalQuantile } from '../../numerics/distributions.ts';
import { conditionalNormal } from './conditionalNormal.ts';
import { type DeviationPosterior, integrateDeviation } from './deviationPosterior.ts';
import { type DeviationPrior, deviationPriorScale, logDeviationPrior } from './deviationPrior.ts';
import type { MeanPrior } from './meanPrior.ts';
import {
  mixtureCumulative,
  mixtureMoments,
  mixtureQuantile,
  type NormalMixture,
  tabulateMixture,
} from './normalMixture.ts';
import { describePriors, percentOf, posteriorCautions, undefinedMoments } from './posteriorCautions.ts';
import { type PosteriorOptions, resolvePosteriorOptions } from './posteriorOptions.ts';
import { posteriorProperties } from './posteriorProperties.ts';
import type {
  PosteriorDistribution,
  PosteriorNormalNormal,
  PosteriorNumerics,
  PosteriorRefused,
  StudyEffect,
} from './posteriorResult.ts';
import { weightedMoments, withDensity } from './posteriorSummary.ts';

/** The two rules of integration may differ by this much in any probability. */
export const normalNormalTolerance = 1e-6;

interface Conditional {
  readonly mean: number;
  readonly deviation: number;
}

/** Prior of the between-study standard deviation used when none is named; other scales have no default. */
const defaultDeviationPriors: Partial<Record<AnalysisScale, DeviationPrior>> = {
  logit: { kind: 'half-normal', scale: 1 },
  'log-odds-ratio': { kind: 'half-normal', scale: 0.5 },
  'log-risk-ratio': { kind: 'half-normal', scale: 0.5 },
};

/**
 * Given estimates with their variances and stated priors, what is the mean of the studies, how far do they
 * differ, and what should the next study, or each of these, be expected to show?
 *
 * y ~ normal(θ, v), θ ~ normal(μ, τ²). Given τ, everything is normal in closed form: μ around m(τ) with variance
 * s²(τ), the next study with s² + τ², a study's own value with mean B·m + (1-B)·y and variance (1-B)·v + B²s²,
 * where B = v/(v+τ²). τ is integrated out by adaptive Gauss-Kronrod quadrature: no sampling, the same answer
 * every time. Intervals are equal-tailed.
 *
 * Default priors: flat on the mean; on the between-study standard deviation half-normal with scale 0.5 for log
 * odds ratios and log risk ratios, 1 for logits of single-arm rates (which differ more than comparisons do);
 * on any other scale the prior must be given.
 *
 * Sources: Gelman A, Carlin JB, Stern HS, et al. Bayesian Data Analysis, 3rd ed. 2013, section 5.4. Röver C,
 * Bender R, Dias S, et al. Res Synth Methods 2021;12:448-474 (priors).
 *
 * @param estimates one row each, all on one scale
 * @returns the posterior, or a refusal with its reason when there is nothing to pool or the posterior is improper
 * @throws RangeError for unknown options, a value or variance that is not finite (variance above 0), mixed
 *   scales, or a scale without a default prior when none is given
 *
 * @example
 * posteriorNormalNormal(estimates, { deviationPrior: { kind: 'half-normal', scale: 0.5 } })
 */
export function posteriorNormalNormal(
  estimates: readonly Estimate[],
  options: PosteriorOptions = {},
): PosteriorNormalNormal | PosteriorRefused {
  const scale = commonScale(estimates);
  const resolved = resolvePosteriorOptions(
    options,
    { deviationPrior: defaultDeviationPriors[scale], meanPrior: { kind: 'flat' } },
    scale,
  );
  const { deviationPrior, meanPrior, level } = resolved;
  const refuse = (code: PosteriorRefused['code'], reason: string): PosteriorRefused => ({
    kind: 'posterior-refused',
    status: 'refused',
    model: 'normal-normal',
    code,
    reason,
    options: resolved,
    estimates,
    counts: [],
    cautions: [],
  });
  if (estimates.length === 0) return refuse('nothing-to-pool', 'There are no estimates to pool.');
  const properties = posteriorProperties(estimates.length, deviationPrior, meanPrior);
  if (!properties.proper) {
    return refuse(
      'posterior-not-proper',
      `With ${describePriors(deviationPrior, meanPrior)}, ${estimates.length} ${estimates.length === 1 ? 'estimate leaves' : 'estimates leave'} the posterior improper: give the between-study standard deviation a proper prior.`,
    );
  }

  const { values, variances, shift } = centred(estimates);
  const shiftedPrior: MeanPrior =
    meanPrior.kind === 'normal' ? { ...meanPrior, mean: meanPrior.mean - shift } : meanPrior;
  const evaluate = (deviation: number) => {
    const conditional = conditionalNormal(values, variances, shiftedPrior, deviation);
    return {
      logDensity: conditional.logMarginal + logDeviationPrior(deviationPrior, deviation),
      payload: conditional,
    };
  };
  const posterior = integrateDeviation<Conditional>(evaluate, (deviation) => evaluate(deviation).logDensity, {
    scale: Math.min(deviationPriorScale(deviationPrior), 0.5 * Math.sqrt(minimumOf(variances))),
    upper: deviationPrior.kind === 'uniform' ? deviationPrior.upper : Number.POSITIVE_INFINITY,
    moments: properties.deviationMoments,
    tolerance: 1e-9,
  });

  const { nodes } = posterior;
  const weights = Float64Array.from(nodes, (node) => node.weight);
  const means = Float64Array.from(nodes, (node) => node.payload.mean);
  const deviations = Float64Array.from(nodes, (node) => node.payload.deviation);
  const meanMixture: NormalMixture = { weights, means, deviations };
  const nextMixture: NormalMixture = {
    weights,
    means,
    deviations: Float64Array.from(nodes, (node) => Math.hypot(node.payload.deviation, node.deviation)),
  };
  // A normal prior keeps the mean's own moments finite however heavy the tail of τ is.
  const meanMoments = meanPrior.kind === 'normal' ? 2 : properties.deviationMoments;
  const mean = distribution(meanMixture, meanMoments, shift, level);
  const prediction = distribution(nextMixture, properties.deviationMoments, shift, level);
  const betweenStudyDeviation = withDensity(
    posterior.density,
    weightedMoments(
      nodes.map((node) => node.deviation),
      weights,
      properties.deviationMoments,
    ),
    level,
  );
  const numerics = compareRules(posterior, [
    [meanMixture, mean, shift],
    [nextMixture, prediction, shift],
  ]);
  const studies = new Set(estimates.map((estimate) => estimate.study)).size;
  return {
    kind: 'posterior-normal-normal',
    status: 'computed',
    scale,
    options: resolved,
    studies,
    estimates,
    mean,
    betweenStudyDeviation,
    prediction,
    studyEffects: resolved.studyEffects
      ? estimates.map((estimate, index) =>
          studyEffect(estimate, values[index]!, posterior, meanMixture, shift, level),
        )
      : [],
    numerics,
    cautions: posteriorCautions({
      studies,
      rows: estimates.length,
      informative: estimates.length,
      deviationPrior,
      betweenStudyDeviation,
      momentsUndefined: undefinedMoments({
        'the mean': mean,
        'the between-study standard deviation': betweenStudyDeviation,
        'the next study': prediction,
      }),
      numerics,
    }),
    methodsSentence: `Estimates on the ${scale} scale were pooled in a Bayesian normal model with normal random effects (${describePriors(deviationPrior, meanPrior)}), integrated by deterministic quadrature; intervals are equal-tailed with probability ${percentOf(level)}.`,
  };
}

function commonScale(estimates: readonly Estimate[]): AnalysisScale {
  for (const { label, value, variance, scale } of estimates) {
    if (!Number.isFinite(value)) throw new RangeError(`value of ${label} must be finite, received ${value}`);
    if (!(variance > 0 && Number.isFinite(variance))) {
      throw new RangeError(`variance of ${label} must be finite and above 0, received ${variance}`);
    }
    if (scale !== estimates[0]!.scale) {
      throw new RangeError(
        `all estimates must be on one scale, received "${estimates[0]!.scale}" and "${scale}" (${label})`,
      );
    }
  }
  return estimates[0]?.scale ?? 'logit';
}

// Values far from zero lose digits in squares: everything is done around the precision-weighted mean.
function centred(estimates: readonly Estimate[]): {
  values: Float64Array;
  variances: Float64Array;
  shift: number;
} {
  const origin = estimates[0]!.value;
  let weight = 0;
  let weighted = 0;
  for (const { value, variance } of estimates) {
    weight += 1 / variance;
    weighted += (value - origin) / variance;
  }
  const shift = origin + weighted / weight;
  return {
    values: Float64Array.from(estimates, (estimate) => estimate.value - shift),
    variances: Float64Array.from(estimates, (estimate) => estimate.variance),
    shift,
  };
}

function minimumOf(values: Float64Array): number {
  let least = Number.POSITIVE_INFINITY;
  for (const value of values) least = Math.min(least, value);
  return least;
}

function distribution(
  mixture: NormalMixture,
  moments: number,
  shift: number,
  level: number,
): PosteriorDistribution {
  const table = tabulateMixture(mixture, 1e-9, shift);
  const { mean, deviation } = mixtureMoments(mixture);
  return withDensity(
    table,
    {
      mean: moments >= 1 ? mean + shift : undefined,
      deviation: moments >= 2 ? deviation : undefined,
    },
    level,
  );
}

function studyEffect(
  estimate: Estimate,
  value: number,
  posterior: DeviationPosterior<Conditional>,
  meanMixture: NormalMixture,
  shift: number,
  level: number,
): StudyEffect {
  const { variance } = estimate;
  const count = posterior.nodes.length;
  const means = new Float64Array(count);
  const deviations = new Float64Array(count);
  for (let index = 0; index < count; index++) {
    const { deviation, payload } = posterior.nodes[index]!;
    const total = variance + deviation * deviation;
    const pull = variance / total;
    means[index] = value + pull * (payload.mean - value);
    deviations[index] = Math.hypot(deviation * Math.sqrt(variance / total), pull * payload.deviation);
  }
  const mixture = { weights: meanMixture.weights, means, deviations };
  const moments = mixtureMoments(mixture);
  const tail = (1 - level) / 2;
  const reach = moments.deviation * normalQuantile(1 - tail);
  const quantile = (probability: number, start: number): number =>
    mixtureQuantile(mixture, probability, start) + shift;
  return {
    study: estimate.study,
    label: estimate.label,
    ...(estimate.arm === undefined ? {} : { arm: estimate.arm }),
    // A study's own moments are always finite: however large τ, its own estimate holds it.
    mean: moments.mean + shift,
    standardDeviation: moments.deviation,
    median: quantile(0.5, moments.mean),
    interval: {
      lower: quantile(tail, moments.mean - reach),
      upper: quantile(1 - tail, moments.mean + reach),
      level,
    },
  };
}

function compareRules(
  posterior: DeviationPosterior<Conditional>,
  parts: readonly (readonly [NormalMixture, PosteriorDistribution, number])[],
): PosteriorNumerics {
  const coarse = Float64Array.from(posterior.nodes, (node) => node.coarseWeight);
  let disagreement = posterior.relativeError;
  for (const [mixture, summary, shift] of parts) {
    for (const x of [summary.interval.lower, summary.median, summary.interval.upper]) {
      const difference =
        mixtureCumulative({ ...mixture, weights: coarse }, x - shift) - mixtureCumulative(mixture, x - shift);
      disagreement = Math.max(disagreement, Math.abs(difference));
    }
  }
  return {
    deviationNodes: posterior.nodes.length,
    disagreement,
    tolerance: normalNormalTolerance,
    agreed: disagreement <= normalNormalTolerance,
  };
}
