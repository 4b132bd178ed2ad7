import { gaussHermite } from '../../numerics/gaussHermite.ts';
import type { LikelihoodTerm } from '../rareEvents/likelihoodTerms.ts';

/** A random-effects log-likelihood over a mean and a between-study deviation, with its derivatives. */
export interface RandomEffectsAt {
  logLikelihood: number;
  slopeMean: number;
  slopeDeviation: number;
  curvatureMean: number;
  curvatureMixed: number;
  curvatureDeviation: number;
}

/** One study's log-likelihood as a function of its own true value, and where it counts. */
export interface StudyTerm {
  readonly term: LikelihoodTerm;
  /** The largest value the log-likelihood takes, or nears without end. */
  readonly highest: number;
  /** Where it is highest; where it never turns, somewhere on the slope between its two ends. */
  readonly centre: number;
  /** The width of the peak (1/√curvature), or of the slope. */
  readonly width: number;
  /** The side on which it nears its largest value without end; 0 where it falls on both. */
  readonly open: -1 | 0 | 1;
}

/** A study's likelihood, divided by its largest value, on the even grid `(first + j)·step`. */
interface StudyTable {
  readonly step: number;
  readonly first: number;
  readonly values: Float64Array;
  /** Beyond the table on that side the likelihood is 1 to the last digit; elsewhere it is 0. */
  readonly open: -1 | 0 | 1;
}

/** Steps of a table: half a width, and so fine that a few events in a study far from the mean lose no digits. */
const stepsPerWidth = 2;
const widestStep = 0.2;
/** How many steps the deviation must span for a table to be fine enough. */
const stepsPerDeviation = 1.6;
const halvings = 2;
/** How many deviations from the mean count: e^-98 of the peak, and where a table ends by itself all that a number holds. */
const openReach = 14;
const closedReach = 37;
const negligible = Math.exp(-43);
const hermitePoints = 15;
/** A term that is this small a share of the sum, and smaller than the one before, ends it: terms rise and fall once. */
const uncounted = 1e-20;

/**
 * How likely are these studies, if their true values are drawn from a normal distribution?
 *
 * `∏ᵢ ∫ Lᵢ(θ) φ((θ − μ)/τ)/τ dθ`. Each study's likelihood is tabulated once on an even grid, so that every later
 * integral is a sum of table times normal density, whose exponential runs along the grid by two multiplications a
 * point: the trapezoidal rule, exact to rounding for smooth functions that die out at both ends. The derivatives
 * are those of the density: with `z = (θ − μ)/τ` and `⟨·⟩` the average over what is summed,
 * `∂/∂μ = ⟨z⟩/τ` and `∂/∂τ = (⟨z²⟩ − 1)/τ`. Where τ is too small for the finest table, Gauss-Hermite quadrature of
 * the terms themselves, exact there; at τ = 0 the terms alone.
 *
 * Source: Trefethen LN, Weideman JAC, SIAM Rev 2014;56:385-458, theorem 5.1 (trapezoidal rule).
 */
export class TabulatedLikelihood {
  readonly #studies: readonly { readonly study: StudyTerm; readonly tables: (StudyTable | undefined)[] }[];
  readonly #highest: number;
  readonly #out = new Float64Array(3);
  readonly #at: RandomEffectsAt = {
    logLikelihood: 0,
    slopeMean: 0,
    slopeDeviation: 0,
    curvatureMean: 0,
    curvatureMixed: 0,
    curvatureDeviation: 0,
  };

  constructor(studies: readonly StudyTerm[], constant = 0) {
    this.#studies = studies.map((study) => ({ study, tables: [] }));
    this.#highest = studies.reduce((sum, { highest }) => sum + highest, constant);
  }

  get studies(): number {
    return this.#studies.length;
  }

  /** Value and derivatives; the object returned is written over by the next call. */
  at(mean: number, deviation: number): RandomEffectsAt {
    const at = this.#at;
    at.logLikelihood = this.#highest;
    at.slopeMean = 0;
    at.slopeDeviation = 0;
    at.curvatureMean = 0;
    at.curvatureMixed = 0;
    at.curvatureDeviation = 0;
    for (const { study, tables } of this.#studies) {
      const table = deviation > 0 ? tableFor(study, tables, deviation) : undefined;
      if (table) addTabulated(table, mean, deviation, at);
      else this.#addNarrow(study, mean, deviation);
    }
    return at;
  }

  /** The value alone, for integrals over many means and deviations. */
  valueAt(mean: number, deviation: number): number {
    let value = this.#highest;
    for (const { study, tables } of this.#studies) {
      const table = deviation > 0 ? tableFor(study, tables, deviation) : undefined;
      value += table ? logAverage(table, mean, deviation) : this.#narrowValue(study, mean, deviation);
    }
    return value;
  }

  #addNarrow({ term, highest }: StudyTerm, mean: number, deviation: number): void {
    const at = this.#at;
    const out = this.#out;
    if (deviation === 0) {
      term(mean, out);
      at.logLikelihood += out[0]! - highest;
      at.slopeMean += out[1]!;
      at.curvatureMean += out[2]!;
      at.curvatureDeviation += out[2]! + out[1]! * out[1]!;
      return;
    }
    const { nodes, weights } = gaussHermite(hermitePoints);
    term(mean, out);
    const reference = out[0]!;
    let sum = 0;
    let score = 0;
    let scoreZ = 0;
    let curvature = 0;
    let curvatureZ = 0;
    let curvatureZZ = 0;
    for (let j = 0; j < hermitePoints; j++) {
      const z = nodes[j]!;
      term(mean + deviation * z, out);
      const weight = weights[j]! * Math.exp(out[0]! - reference);
      const s = out[1]!;
      const c = weight * (out[2]! + s * s);
      sum += weight;
      score += weight * s;
      scoreZ += weight * s * z;
      curvature += c;
      curvatureZ += c * z;
      curvatureZZ += c * z * z;
    }
    const meanScore = score / sum;
    const meanScoreZ = scoreZ / sum;
    at.logLikelihood += reference - highest + Math.log(sum);
    at.slopeMean += meanScore;
    at.slopeDeviation += meanScoreZ;
    at.curvatureMean += curvature / sum - meanScore * meanScore;
    at.curvatureMixed += curvatureZ / sum - meanScore * meanScoreZ;
    at.curvatureDeviation += curvatureZZ / sum - meanScoreZ * meanScoreZ;
  }

  #narrowValue({ term, highest }: StudyTerm, mean: number, deviation: number): number {
    const out = this.#out;
    term(mean, out);
    const reference = out[0]!;
    if (deviation === 0) return reference - highest;
    const { nodes, weights } = gaussHermite(hermitePoints);
    let sum = 0;
    for (let j = 0; j < hermitePoints; j++) {
      term(mean + deviation * nodes[j]!, out);
      sum += weights[j]! * Math.exp(out[0]! - reference);
    }
    return reference - highest + Math.log(sum);
  }
}

/** The coarsest table that is fine enough for a deviation, laid when first needed. */
function tableFor(
  study: StudyTerm,
  tables: (StudyTable | undefined)[],
  deviation: number,
): StudyTable | undefined {
  let step = Math.min(widestStep, study.width / stepsPerWidth);
  for (let halving = 0; halving <= halvings; halving++) {
    if (deviation >= stepsPerDeviation * step) {
      tables[halving] ??= tabulate(study, step, halving > 0 ? tables[halving - 1] : undefined);
      return tables[halving];
    }
    step /= 2;
  }
  return undefined;
}

/** @param coarser the table of twice the step, whose points are every second one of this */
function tabulate(
  { term, highest, centre, open }: StudyTerm,
  step: number,
  coarser: StudyTable | undefined,
): StudyTable {
  const out = new Float64Array(3);
  const middle = Math.round(centre / step);
  const valueAt = (index: number): number => {
    if (coarser && index % 2 === 0) {
      const known = coarser.values[index / 2 - coarser.first];
      if (known !== undefined) return known;
    }
    term(index * step, out);
    return Math.exp(out[0]! - highest);
  };
  const side = (direction: -1 | 1): number[] => {
    const values: number[] = [];
    for (let j = direction < 0 ? 1 : 0; ; j++) {
      const value = valueAt(middle + direction * j);
      values.push(value);
      // Fallen away, or level with its end to the last digit: nothing further to follow.
      if (direction === open ? value >= 1 : value < negligible) return values;
    }
  };
  const left = side(-1).reverse();
  const right = side(1);
  const values = new Float64Array(left.length + right.length);
  values.set(left);
  values.set(right, left.length);
  return { step, first: middle - left.length, values, open };
}

function addTabulated(table: StudyTable, mean: number, deviation: number, at: RandomEffectsAt): void {
  const { step, first, values, open } = table;
  const last = first + values.length - 1;
  const unit = step / deviation;
  const position = mean / step;
  // On an open side the density alone ends the sum.
  let begin = open === -1 ? Math.ceil(position - openReach / unit) : first;
  let end = open === 1 ? Math.floor(position + openReach / unit) : last;
  begin = Math.max(begin, Math.ceil(position - closedReach / unit));
  end = Math.min(end, Math.floor(position + closedReach / unit));
  // All of the likelihood lies beyond the reach: the nearest end of the table stands for it.
  if (begin > end) {
    begin = position < first ? first : last;
    end = begin;
  }
  const square = unit * unit;
  const decay = Math.exp(-square);
  // From the grid point nearest to the mean outwards, where the density is largest.
  const nearest = Math.min(end, Math.max(begin, Math.round(position)));
  const offset = nearest - position;
  // Where even the nearest point lies far out, its own density is the unit.
  const top = -0.5 * offset * offset * square;
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let s4 = 0;
  let before = 0;
  let kernel = 1;
  let ratio = Math.exp(-(offset + 0.5) * square);
  for (let j = nearest; j <= end; j++) {
    const value = j < first || j > last ? 1 : values[j - first]!;
    const z = (j - position) * unit;
    const w = value * kernel;
    const wz = w * z;
    const wzz = wz * z;
    s0 += w;
    s1 += wz;
    s2 += wzz;
    s3 += wzz * z;
    s4 += wzz * z * z;
    if (w < uncounted * s0 && w <= before) break;
    before = w;
    kernel *= ratio;
    ratio *= decay;
  }
  before = 0;
  ratio = Math.exp((offset - 0.5) * square);
  kernel = ratio;
  ratio *= decay;
  for (let j = nearest - 1; j >= begin; j--) {
    const value = j < first || j > last ? 1 : values[j - first]!;
    const z = (j - position) * unit;
    const w = value * kernel;
    const wz = w * z;
    const wzz = wz * z;
    s0 += w;
    s1 += wz;
    s2 += wzz;
    s3 += wzz * z;
    s4 += wzz * z * z;
    if (w < uncounted * s0 && w <= before) break;
    before = w;
    kernel *= ratio;
    ratio *= decay;
  }
  const inverse = 1 / s0;
  const m1 = s1 * inverse;
  const m2 = s2 * inverse;
  const m3 = s3 * inverse;
  const m4 = s4 * inverse;
  const perSquare = 1 / (deviation * deviation);
  at.logLikelihood += Math.log(s0 * unit) - halfLogTwoPi + top;
  at.slopeMean += m1 / deviation;
  at.slopeDeviation += (m2 - 1) / deviation;
  at.curvatureMean += (m2 - 1 - m1 * m1) * perSquare;
  at.curvatureMixed += (m3 - 3 * m1 - m1 * (m2 - 1)) * perSquare;
  at.curvatureDeviation += (m4 - 5 * m2 + 2 - (m2 - 1) * (m2 - 1)) * perSquare;
}

const halfLogTwoPi = 0.5 * Math.log(2 * Math.PI);

function logAverage(table: StudyTable, mean: number, deviation: number): number {
  const { step, first, values, open } = table;
  const last = first + values.length - 1;
  const unit = step / deviation;
  const position = mean / step;
  // On an open side the density alone ends the sum.
  let begin = open === -1 ? Math.ceil(position - openReach / unit) : first;
  let end = open === 1 ? Math.floor(position + openReach / unit) : last;
  begin = Math.max(begin, Math.ceil(position - closedReach / unit));
  end = Math.min(end, Math.floor(position + closedReach / unit));
  // All of the likelihood lies beyond the reach: the nearest end of the table stands for it.
  if (begin > end) {
    begin = position < first ? first : last;
    end = begin;
  }
  const square = unit * unit;
  const decay = Math.exp(-square);
  const nearest = Math.min(end, Math.max(begin, Math.round(position)));
  const offset = nearest - position;
  let sum = 0;
  let before = 0;
  let kernel = 1;
  let ratio = Math.exp(-(offset + 0.5) * square);
  for (let j = nearest; j <= end; j++) {
    const w = (j < first || j > last ? 1 : values[j - first]!) * kernel;
    sum += w;
    if (w < uncounted * sum && w <= before) break;
    before = w;
    kernel *= ratio;
    ratio *= decay;
  }
  before = 0;
  ratio = Math.exp((offset - 0.5) * square);
  kernel = ratio;
  ratio *= decay;
  for (let j = nearest - 1; j >= begin; j--) {
    const w = (j < first || j > last ? 1 : values[j - first]!) * kernel;
    sum += w;
    if (w < uncounted * sum && w <= before) break;
    before = w;
    kernel *= ratio;
    ratio *= decay;
  }
  return Math.log(sum * unit) - halfLogTwoPi - 0.5 * offset * offset * square;
}
