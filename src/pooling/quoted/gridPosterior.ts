import { normalCumulative } from '../../numerics/distributions.ts';
import { gaussHermite } from '../../numerics/gaussHermite.ts';
import { findRoot } from '../../numerics/rootFinding.ts';
import { type DeviationPrior, logDeviationPrior } from '../bayesian/deviationPrior.ts';
import { logMeanPrior, type MeanPrior } from '../bayesian/meanPrior.ts';
import { emptyMean, meanLogOddsFor } from './meanOfStudies.ts';
import type { TabulatedLikelihood } from './tabulatedLikelihood.ts';

/** What a posterior can be asked about, each on the log odds. */
export type PosteriorQuantity = 'median study' | 'mean of studies' | 'next study';

/** The posterior of mean and deviation of the studies' log odds, as probabilities below any value. */
export interface GridPosterior {
  /** Probability that the log odds of a quantity lie below `x`. */
  readonly below: (quantity: PosteriorQuantity, x: number) => number;
  /** The log odds that a share `probability` of the posterior lies below. */
  readonly quantile: (quantity: PosteriorQuantity, probability: number) => number;
}

/** The posterior of the mean for one deviation. */
interface Slice {
  readonly deviation: number;
  readonly weight: number;
  /** Coarse grid: mean, step, density times step. */
  readonly start: number;
  readonly step: number;
  readonly probabilities: Float64Array;
  /** Fine grid, `refinement` points a step: density and probability below. */
  readonly density: Float64Array;
  readonly cumulative: Float64Array;
}

const refinement = 8;
const negligible = 20;
const perDeviation = 0.9;
const mostNodes = 90;
const mostPoints = 400;

/**
 * Where do the mean and the deviation of the studies' log odds lie, given the counts and the priors?
 *
 * The trapezoidal rule in both directions: for each deviation an even grid of means around the peak there, for the
 * deviation an even grid from zero up, since a likelihood and a half-normal prior continue evenly below zero. Both
 * steps are a share of the posterior's own width, at which the rule is exact to about 1e-8; between the grid's points
 * the logarithm of the density is read off the polynomial through eight of them.
 *
 * A quicker rule than that of {@link posteriorBinomialNormal}, with which it is compared in the tests, and one that
 * also gives the mean over studies.
 *
 * @param deviationPrior proper, and even in τ around zero: half-normal or half-Cauchy
 */
export function gridPosterior(
  likelihood: TabulatedLikelihood,
  deviationPrior: DeviationPrior,
  meanPrior: MeanPrior,
  start: number,
): GridPosterior {
  const raw: (Omit<Slice, 'weight'> & { readonly logMarginal: number })[] = [];
  const ofPrior = (deviation: number): number => logDeviationPrior(deviationPrior, Math.max(deviation, 1e-9));
  let guess = start;
  const byWidth = deviationStep((deviation) => {
    const { centre, width } = peakAt(likelihood, meanPrior, guess, deviation);
    guess = centre;
    return (
      likelihood.valueAt(centre, deviation) +
      logMeanPrior(meanPrior, centre) +
      Math.log(width) +
      ofPrior(deviation)
    );
  }, deviationPrior);
  // The next study's distribution changes with the deviation over about the width of the mean's.
  const step = Math.min(byWidth, 0.75 * peakAt(likelihood, meanPrior, start, 0).width);
  guess = start;
  let highest = Number.NEGATIVE_INFINITY;
  for (let index = 0; index < mostNodes; index++) {
    const deviation = index * step;
    const slice = laySlice(likelihood, meanPrior, guess, deviation);
    guess = slice.centre;
    const logMarginal = slice.logMarginal + ofPrior(deviation);
    raw.push({ ...slice, logMarginal });
    highest = Math.max(highest, logMarginal);
    if (logMarginal < highest - 16) break;
  }
  let total = 0;
  const weights = raw.map(({ logMarginal }, index) => {
    const weight = (index === 0 ? 0.5 : 1) * Math.exp(logMarginal - highest);
    total += weight;
    return weight;
  });
  const slices: Slice[] = [];
  for (const [index, slice] of raw.entries()) {
    const weight = weights[index]! / total;
    if (weight > 1e-9) slices.push({ ...slice, weight });
  }
  const below = (quantity: PosteriorQuantity, x: number): number => {
    let sum = 0;
    for (const slice of slices) sum += slice.weight * belowInSlice(slice, quantity, x);
    return sum;
  };
  return {
    below,
    quantile(quantity, probability) {
      let heaviest = slices[0]!;
      for (const slice of slices) if (slice.weight > heaviest.weight) heaviest = slice;
      const middle = heaviest.start + 0.5 * heaviest.step * (heaviest.probabilities.length - 1);
      let low = middle - 1;
      let high = middle + 1;
      while (below(quantity, low) > probability) low -= 2 * (high - low);
      while (below(quantity, high) < probability) high += 2 * (high - low);
      return findQuantile((x) => below(quantity, x) - probability, low, high);
    },
  };
}

/** A root to nine digits of probability: more than the rule has. */
function findQuantile(off: (x: number) => number, low: number, high: number): number {
  let done: number | undefined;
  const { root } = findRoot(
    (x) => {
      if (done !== undefined) return 0;
      const value = off(x);
      if (Math.abs(value) < 1e-9) done = x;
      return value;
    },
    low,
    high,
  );
  return done ?? root;
}

/** The step from zero up: a share of the posterior's width, from a coarse look with each slice taken as normal. */
function deviationStep(logDensity: (deviation: number) => number, prior: DeviationPrior): number {
  const scale = 'scale' in prior ? prior.scale : 1;
  let step = 0.5 * scale;
  for (let attempt = 0; attempt < 12; attempt++) {
    const values: number[] = [];
    let best = 0;
    for (let index = 0; index < 40; index++) {
      values.push(logDensity(index * step));
      if (values[index]! > values[best]!) best = index;
      if (values[index]! < values[best]! - 6) break;
    }
    // The share of the total each point holds: with fewer than about one point a width one holds most of it.
    const top = values[best]!;
    let mass = 0;
    for (const [index, value] of values.entries()) mass += (index === 0 ? 0.5 : 1) * Math.exp(value - top);
    // For a normal shape mass = √(2π)·width/step, and half of it for a peak at zero.
    const width = (mass * step) / (best === 0 ? 1.2533 : 2.5066);
    if (width >= 1.1 * step || attempt === 11) return Math.min(step, perDeviation * width, 0.25 * scale);
    step *= 0.4;
  }
  return step;
}

/** The most probable mean for one deviation, and the width of the peak there. */
function peakAt(
  likelihood: TabulatedLikelihood,
  prior: MeanPrior,
  start: number,
  deviation: number,
): { readonly centre: number; readonly width: number } {
  const precision = prior.kind === 'normal' ? 1 / prior.deviation ** 2 : 0;
  const priorMean = prior.kind === 'normal' ? prior.mean : 0;
  let centre = start;
  let width = 1;
  for (let iteration = 0; iteration < 40; iteration++) {
    const { slopeMean, curvatureMean } = likelihood.at(centre, deviation);
    const curvature = Math.max(precision - curvatureMean, 1e-4);
    width = 1 / Math.sqrt(curvature);
    let move = (slopeMean - (centre - priorMean) * precision) / curvature;
    move = Math.max(-2, Math.min(2, move));
    centre += move;
    if (Math.abs(move) < 0.05 * width) break;
  }
  return { centre, width };
}

function laySlice(
  likelihood: TabulatedLikelihood,
  prior: MeanPrior,
  start: number,
  deviation: number,
): Omit<Slice, 'weight'> & { readonly logMarginal: number; readonly centre: number } {
  const { centre: peakCentre, width } = peakAt(likelihood, prior, start, deviation);
  let centre = peakCentre;
  const at = (mean: number): number => likelihood.valueAt(mean, deviation) + logMeanPrior(prior, mean);
  // With few events a slice can be wide and yet end in an edge of the likelihood's own width.
  const edge = 0.6 * Math.hypot(1, deviation);
  let step = Math.min(edge, perDeviation * width);
  for (let attempt = 0; ; attempt++) {
    const middle = at(centre);
    let peak = middle;
    const walk = (direction: -1 | 1): number[] => {
      const values: number[] = [];
      for (let index = 1; index < mostPoints; index++) {
        const value = at(centre + direction * index * step);
        values.push(value);
        peak = Math.max(peak, value);
        if (value < peak - negligible) break;
      }
      return values;
    };
    const right = walk(1);
    const left = walk(-1);
    const logs = Float64Array.from([...left.reverse(), middle, ...right]);
    const first = centre - left.length * step;
    let total = 0;
    let weighted = 0;
    let squares = 0;
    for (let index = 0; index < logs.length; index++) {
      const density = Math.exp(logs[index]! - peak);
      const x = first + index * step;
      total += density;
      weighted += density * x;
      squares += density * (x - centre) ** 2;
    }
    const mean = weighted / total;
    const spread = Math.sqrt(Math.max(0, squares / total - (mean - centre) ** 2));
    if (attempt < 4 && step > 1.1 * perDeviation * spread) {
      step = Math.min(edge, perDeviation * Math.max(spread, 0.3 * step));
      centre = mean;
      continue;
    }
    const logMarginal = peak + Math.log(step * total);
    const probabilities = logs.map((value) => step * Math.exp(value - logMarginal));
    const { density, cumulative } = refine(logs, logMarginal, step);
    return { deviation, start: first, step, probabilities, density, cumulative, logMarginal, centre };
  }
}

/** Weights of the eight points around a place `i/refinement` of the way between the two in the middle. */
const interpolation = Array.from({ length: refinement }, (_, part) => {
  const x = part / refinement;
  return Array.from({ length: 8 }, (_, k) => {
    let weight = 1;
    for (let other = 0; other < 8; other++) if (other !== k) weight *= (x - (other - 3)) / (k - other);
    return weight;
  });
});

/** The density between the grid's points, and the probability below each. */
function refine(
  logs: Float64Array,
  logMarginal: number,
  step: number,
): { density: Float64Array; cumulative: Float64Array } {
  const points = logs.length;
  const size = (points - 1) * refinement + 1;
  const density = new Float64Array(size);
  for (let cell = 0; cell < points - 1; cell++) {
    const inner = cell >= 3 && cell + 4 < points;
    for (let part = 0; part < refinement; part++) {
      let log = 0;
      if (inner) {
        const weights = interpolation[part]!;
        for (let k = 0; k < 8; k++) log += weights[k]! * logs[cell - 3 + k]!;
      } else {
        const share = part / refinement;
        log = logs[cell]! * (1 - share) + logs[cell + 1]! * share;
      }
      density[cell * refinement + part] = Math.exp(log - logMarginal);
    }
  }
  density[size - 1] = Math.exp(logs[points - 1]! - logMarginal);
  const cumulative = new Float64Array(size);
  const h = step / refinement;
  for (let j = 0; j + 1 < size; j++) {
    const before = j > 0 ? density[j - 1]! : 0;
    const after = j + 2 < size ? density[j + 2]! : 0;
    cumulative[j + 1] = cumulative[j]! + (h / 24) * (13 * (density[j]! + density[j + 1]!) - before - after);
  }
  const total = cumulative[size - 1]!;
  for (let j = 0; j < size; j++) cumulative[j]! /= total;
  return { density, cumulative };
}

const scratch = emptyMean();
const { nodes, weights } = gaussHermite(9);

function belowInSlice(slice: Slice, quantity: PosteriorQuantity, x: number): number {
  const { deviation, start, step, probabilities } = slice;
  if (quantity === 'median study') return cumulativeAt(slice, x);
  if (quantity === 'mean of studies') {
    return cumulativeAt(
      slice,
      deviation === 0 ? x : meanLogOddsFor(x, deviation, scratch, x - 0.5 * Math.min(deviation ** 2, 4)),
    );
  }
  if (deviation === 0) return cumulativeAt(slice, x);
  let sum = 0;
  if (deviation < 1.2 * step) {
    for (let j = 0; j < nodes.length; j++)
      sum += weights[j]! * cumulativeAt(slice, x + deviation * nodes[j]!);
    return sum;
  }
  for (let index = 0; index < probabilities.length; index++) {
    sum += probabilities[index]! * normalCumulative((x - start - index * step) / deviation);
  }
  return sum;
}

/** Probability of a mean below `x`, by the cubic through two points and their densities. */
function cumulativeAt({ start, step, density, cumulative }: Slice, x: number): number {
  const h = step / refinement;
  const position = (x - start) / h;
  const last = cumulative.length - 1;
  if (position <= 0) return 0;
  if (position >= last) return 1;
  const j = Math.floor(position);
  const u = position - j;
  const a = cumulative[j]!;
  const b = cumulative[j + 1]!;
  const da = density[j]! * h;
  const db = density[j + 1]! * h;
  const v = 1 - u;
  return a * v * v * (1 + 2 * u) + b * u * u * (3 - 2 * u) + u * v * (da * v - db * u);
}
