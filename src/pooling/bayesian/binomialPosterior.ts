import { normalCumulative } from '../../numerics/distributions.ts';
import { gaussHermite } from '../../numerics/gaussHermite.ts';
import { type BinomialStudy, binomialStudy, kernelSum, type StudyResolution } from './binomialStudy.ts';
import { type DeviationNode, type DeviationPosterior, integrateDeviation } from './deviationPosterior.ts';
import { type DeviationPrior, deviationPriorScale, logDeviationPrior } from './deviationPrior.ts';
import type { MeanPrior } from './meanPrior.ts';
import { interpolate, type MeanSlice, meanSlice, type StartingPoint } from './meanSlice.ts';
import type { StudyCount } from './posteriorResult.ts';
import { type TabulatedDensity, tabulateDensity } from './tabulatedDensity.ts';

/** The joint posterior of mean and between-study standard deviation under the exact binomial likelihood. */
export interface BinomialPosterior {
  readonly studies: readonly BinomialStudy[];
  readonly deviation: DeviationPosterior<MeanSlice>;
  /** Difference between the finer and the coarser rule; see {@link PosteriorNumerics}. */
  readonly disagreement: number;
}

const fine: StudyResolution = { step: 1, hermitePoints: 11 };
const coarse: StudyResolution = { step: 1.35, hermitePoints: 9 };
const finePerDeviation = 2.5;
const coarsePerDeviation = 1.6;
const negligibleWeight = 1e-13;
/** A study's own table is made to fewer digits, and there are as many of them as studies. */
const negligibleForStudy = 1e-10;

/** Integrates over both parameters, and checks the answer with coarser rules for every one of the integrals. */
export function binomialPosterior(
  counts: readonly StudyCount[],
  deviationPrior: DeviationPrior,
  meanPrior: MeanPrior,
  deviationMoments: number,
): BinomialPosterior {
  const studies = counts.map(({ events, total }) => binomialStudy(events, total, fine));
  const coarseStudies = counts.map(({ events, total }) => binomialStudy(events, total, coarse));
  const start: StartingPoint = {
    values: Float64Array.from(counts, ({ events, total }) =>
      Math.log((events + 0.5) / (total - events + 0.5)),
    ),
    variances: Float64Array.from(
      counts,
      ({ events, total }) => 1 / (events + 0.5) + 1 / (total - events + 0.5),
    ),
  };
  const roughSlice = (deviation: number): MeanSlice =>
    meanSlice(coarseStudies, meanPrior, start, deviation, coarsePerDeviation);
  const deviation = integrateDeviation<MeanSlice>(
    (tau) => {
      const slice = meanSlice(studies, meanPrior, start, tau, finePerDeviation);
      return { logDensity: slice.logMarginal + logDeviationPrior(deviationPrior, tau), payload: slice };
    },
    (tau) => roughSlice(tau).logMarginal + logDeviationPrior(deviationPrior, tau),
    {
      scale: Math.min(deviationPriorScale(deviationPrior), 0.5 * Math.sqrt(Math.min(...start.variances))),
      upper: deviationPrior.kind === 'uniform' ? deviationPrior.upper : Number.POSITIVE_INFINITY,
      moments: deviationMoments,
      tolerance: 1e-7,
    },
  );
  return { studies, deviation, disagreement: compareRules(deviation, roughSlice) };
}

// The coarser rule for τ, for the mean and for every study's logit together, against the finer ones.
function compareRules(
  posterior: DeviationPosterior<MeanSlice>,
  roughSlice: (deviation: number) => MeanSlice,
): number {
  const nodes = posterior.nodes.filter((node) => node.weight > negligibleWeight);
  const { mean, deviation: width } = heaviestOf(nodes).payload;
  const places = [mean - width, mean + width];
  const finer = nodes.map((node) => smoothedBelow(node.payload, places, width));
  const roughs = nodes.map((node) => {
    if (node.coarseWeight === 0) return undefined;
    const slice = roughSlice(node.deviation);
    return {
      weight: node.coarseWeight * Math.exp(slice.logMarginal - node.payload.logMarginal),
      below: smoothedBelow(slice, places, width),
    };
  });
  let total = 0;
  const below = [0, 0];
  const roughBelow = [0, 0];
  nodes.forEach((node, index) => {
    const rough = roughs[index];
    if (rough) total += rough.weight;
    for (const which of [0, 1]) {
      below[which]! += node.weight * finer[index]![which]!;
      if (rough) roughBelow[which]! += rough.weight * rough.below[which]!;
    }
  });
  return Math.max(
    Math.abs(total - 1),
    ...below.map((value, which) => Math.abs(roughBelow[which]! / total - value)),
    posterior.relativeError,
  );
}

// Probability of the mean being below two places, each smoothed over one width so that a grid can tell it exactly.
function smoothedBelow(slice: MeanSlice, places: readonly number[], width: number): number[] {
  return places.map((place) => {
    let sum = 0;
    for (let index = 0; index < slice.logDensity.length; index++) {
      const weight = slice.step * Math.exp(slice.logDensity[index]! - slice.logMarginal);
      sum +=
        weight *
        normalCumulative((place - slice.start - index * slice.step) / Math.hypot(width, slice.deviation));
    }
    return sum;
  });
}

/** Density of the mean, on the logit scale. */
export function meanTable({ deviation }: BinomialPosterior): TabulatedDensity {
  const nodes = deviation.nodes.filter((node) => node.weight > negligibleWeight);
  let lower = Number.POSITIVE_INFINITY;
  let upper = Number.NEGATIVE_INFINITY;
  for (const node of nodes) {
    const { start, step, logDensity } = node.payload;
    lower = Math.min(lower, start);
    upper = Math.max(upper, start + step * (logDensity.length - 1));
  }
  const density = (x: number): number => {
    let sum = 0;
    for (const { weight, payload } of nodes) {
      const log = interpolate(payload.logDensity, payload.start, payload.step, x) - payload.logMarginal;
      if (log > -60) sum += weight * Math.exp(log);
    }
    return sum;
  };
  const { mean, deviation: spread } = heaviestOf(nodes).payload;
  return tabulateDensity(density, { centre: mean, scale: 2 * spread, lower, upper, tolerance: 1e-9 });
}

/** Density of the true logit at the next hospital. */
export function nextTable(posterior: BinomialPosterior): TabulatedDensity {
  const averages = posterior.deviation.nodes
    .filter((node) => node.weight > negligibleWeight)
    .map(({ deviation, weight, payload }) => ({
      weight,
      average: normalAverage(payload, deviation, payload.logDensity, payload.logMarginal),
    }));
  const { centre, scale, lower, upper } = spreadOfNodes(posterior);
  return tabulateDensity(
    (x) => {
      let sum = 0;
      for (const { weight, average } of averages) sum += weight * average(x);
      return sum;
    },
    { centre, scale: 2 * scale, lower, upper, tolerance: 1e-9 },
  );
}

/**
 * Density of one study's own logit: its likelihood times what the other studies and the priors say of it.
 *
 * What the others say is the posterior of the mean with this study's averaged likelihood taken out again, spread
 * by τ and averaged over τ.
 */
export function studyTable(posterior: BinomialPosterior, study: number): TabulatedDensity {
  const nodes = posterior.deviation.nodes.filter((node) => node.weight > negligibleForStudy);
  const { logLikelihood, mode } = posterior.studies[study]!;
  const { centre, scale, lower, upper } = spreadOfNodes(posterior);
  const { logit, width } = mode(centre, scale);
  const reference = logLikelihood(logit);
  const others = nodes.map(({ deviation, weight, payload }) => {
    const points = payload.logDensity.length;
    const without = new Float64Array(points);
    for (let index = 0; index < points; index++) {
      without[index] = payload.logDensity[index]! - payload.logStudies[study * points + index]!;
    }
    return { weight, average: normalAverage(payload, deviation, without, payload.logMarginal - reference) };
  });
  return tabulateDensity(
    (x) => {
      const log = logLikelihood(x) - reference;
      if (log < -80) return 0;
      let sum = 0;
      for (const { weight, average } of others) sum += weight * average(x);
      return sum * Math.exp(log);
    },
    { centre: logit, scale: 2 * width, lower, upper, tolerance: 1e-7 },
  );
}

// Where the logits of studies lie: a centre and scale for the table's coordinate, and the ends of the range.
function spreadOfNodes({ deviation }: BinomialPosterior): {
  centre: number;
  scale: number;
  lower: number;
  upper: number;
} {
  let lower = Number.POSITIVE_INFINITY;
  let upper = Number.NEGATIVE_INFINITY;
  for (const node of deviation.nodes) {
    if (node.weight <= negligibleWeight) continue;
    const { start, step, logDensity } = node.payload;
    lower = Math.min(lower, start - 8.5 * node.deviation);
    upper = Math.max(upper, start + step * (logDensity.length - 1) + 8.5 * node.deviation);
  }
  const heaviest = heaviestOf(deviation.nodes);
  const { mean, deviation: spread } = heaviest.payload;
  return { centre: mean, scale: Math.hypot(spread, heaviest.deviation), lower, upper };
}

// x ↦ ∫ K(μ) normal density(x; μ, τ²) dμ, for K known by its logs on the slice's grid: a sum over the grid where τ
// spans its step, Gauss-Hermite around x with K read between the points where it does not.
function normalAverage(
  slice: MeanSlice,
  deviation: number,
  logValues: Float64Array,
  logScale: number,
): (x: number) => number {
  const { start, step } = slice;
  // exp(700) is the edge of a double; a value that large belongs to a mean the study itself rules out.
  const scaled = (log: number): number => Math.exp(Math.min(700, log - logScale));
  if (deviation >= 1.2 * step) {
    const table = { start, step, values: logValues.map(scaled) };
    const constant = step / (deviation * Math.sqrt(2 * Math.PI));
    return (x) => constant * kernelSum(table, x, deviation);
  }
  const { nodes, weights } = gaussHermite(9);
  return (x) => {
    let sum = 0;
    for (let index = 0; index < nodes.length; index++) {
      const log = interpolate(logValues, start, step, x + deviation * nodes[index]!);
      if (log > Number.NEGATIVE_INFINITY) sum += weights[index]! * scaled(log);
    }
    return sum;
  };
}

function heaviestOf(nodes: readonly DeviationNode<MeanSlice>[]): DeviationNode<MeanSlice> {
  let heaviest = nodes[0]!;
  for (const node of nodes) if (node.weight > heaviest.weight) heaviest = node;
  return heaviest;
}
