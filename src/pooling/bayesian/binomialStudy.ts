import { normalCumulative } from '../../numerics/distributions.ts';
import { gaussHermite } from '../../numerics/gaussHermite.ts';

/** One study's binomial likelihood, prepared to be averaged over normal distributions of its logit. */
export interface BinomialStudy {
  /** Log likelihood of a logit, less its largest value. */
  readonly logLikelihood: (logit: number) => number;
  /** Log of the likelihood averaged over logits that are normal(mean, deviation²). */
  readonly logAverage: (mean: number, deviation: number) => number;
  /** Most probable logit when its distribution before the data is normal, and the curvature's width there. */
  readonly mode: (mean: number, deviation: number) => { readonly logit: number; readonly width: number };
}

/** How finely the averages over a study's logit are worked out. */
export interface StudyResolution {
  /** Multiplies the step of the tables; 1 leaves errors near 1e-10. */
  readonly step: number;
  /** Points of the adaptive Gauss-Hermite rule. */
  readonly hermitePoints: number;
}

/**
 * Prepares exact averages of x ~ binomial(n, logit⁻¹(θ)) over θ ~ normal(μ, τ²), many μ and τ to come.
 *
 * Two rules, by the size of τ. Where τ is wide enough for the step of a table, the likelihood is tabulated once on
 * an even grid (halved as far as τ asks for) and the average is a sum of table times normal density: the trapezoid
 * rule, whose error falls exponentially with the step for functions as smooth as these. The normal density runs
 * along the grid by two multiplications a point. Where τ is narrower still, adaptive Gauss-Hermite quadrature
 * around the mode.
 *
 * With no events the likelihood does not fall to the left. It is then split into a normal cumulative function
 * with the same midpoint, whose average is Φ((b-μ)/√(w²+τ²)), and a remainder that does fall. All events are
 * the mirror image.
 *
 * Sources: Trefethen LN, Weideman JAC. SIAM Rev 2014;56:385-458 (trapezoid rule). Pinheiro JC, Bates DM. J Comput
 * Graph Stat 1995;4:12-35 (adaptive Gauss-Hermite).
 */
export function binomialStudy(events: number, total: number, resolution: StudyResolution): BinomialStudy {
  if (events === total) {
    const mirrored = binomialStudy(0, total, resolution);
    return {
      logLikelihood: (logit) => mirrored.logLikelihood(-logit),
      logAverage: (mean, deviation) => mirrored.logAverage(-mean, deviation),
      mode: (mean, deviation) => {
        const { logit, width } = mirrored.mode(-mean, deviation);
        return { logit: -logit, width };
      },
    };
  }
  const none = events === 0;
  const best = none ? 0 : events * Math.log(events / total) + (total - events) * Math.log1p(-events / total);
  const logLikelihood = (logit: number): number => {
    const logNot = logit > 0 ? -logit - Math.log1p(Math.exp(-logit)) : -Math.log1p(Math.exp(logit));
    // Of the two equal forms, the one that does not subtract large numbers.
    return none ? total * logNot : events * logit + total * logNot - best;
  };
  const mode = (mean: number, deviation: number) => posteriorMode(events, total, mean, deviation);
  const { nodes, weights } = gaussHermite(resolution.hermitePoints);
  const hermite = (mean: number, deviation: number): number => {
    const { logit, width } = mode(mean, deviation);
    const offset = (logit - mean) / deviation;
    const reference = logLikelihood(logit) - 0.5 * offset * offset;
    const stretch = width / deviation;
    let sum = 0;
    for (let index = 0; index < nodes.length; index++) {
      const node = nodes[index]!;
      const z = offset + stretch * node;
      const log = logLikelihood(logit + width * node) - 0.5 * z * z;
      sum += weights[index]! * Math.exp(log - reference + 0.5 * node * node);
    }
    return reference + Math.log((width / deviation) * sum);
  };

  // The midpoint of a likelihood without events: (1 + e^b)^-n = 1/2.
  const midpoint = none ? Math.log(Math.expm1(Math.LN2 / total)) : Math.log(events / (total - events));
  const splitWidth = 1.5;
  const width = none ? 1 : Math.sqrt(total / (events * (total - events)));
  const step = resolution.step * Math.min(0.33, 0.65 * width);
  const tabulated = none
    ? (theta: number) => Math.exp(logLikelihood(theta)) - normalCumulative((midpoint - theta) / splitWidth)
    : (theta: number) => Math.exp(logLikelihood(theta));
  // Each finer table has half the step, for half the τ; laid when first needed.
  const tables: EvenTable[] = [];
  const tableFor = (deviation: number): EvenTable | undefined => {
    for (let level = 0; level <= finestTable; level++) {
      const finer = step / 2 ** level;
      if (deviation < 1.2 * finer) continue;
      tables[level] ??= tabulate(tabulated, midpoint, finer, none ? 1e-17 : 1e-18);
      return tables[level];
    }
    return undefined;
  };
  const logAverage = (mean: number, deviation: number): number => {
    const table = tableFor(deviation);
    if (!table) return hermite(mean, deviation);
    const density = 1 / (deviation * Math.sqrt(2 * Math.PI));
    if (none) {
      const z = (midpoint - mean) / Math.hypot(splitWidth, deviation);
      const average =
        table.step * density * kernelSum(table, mean, deviation, furthestReach) + normalCumulative(z);
      // At a wide τ the two parts never cancel, however far out; at a narrow one they do, and the product is
      // close enough to normal for the other rule.
      if (average > 1e-8 || (deviation > 4 && average > 0)) return Math.log(average);
      if (deviation > 4) return -0.5 * z * z - Math.log(-z * Math.sqrt(2 * Math.PI));
      return hermite(mean, deviation);
    }
    // Far out in the tails the window of the sum no longer suffices.
    const sum = table.step * kernelSum(table, mean, deviation, usualReach);
    return sum > 1e-9 * Math.min(width, deviation)
      ? Math.log(sum) + Math.log(density)
      : hermite(mean, deviation);
  };
  return { logLikelihood, logAverage, mode };
}

const finestTable = 4;

// How many standard deviations of the normal density count: exp(-8.7²/2) is 4e-17, exp(-38²/2) the least double.
const usualReach = 8.7;
const furthestReach = 38;

/** Values of a function on the even grid start, start + step, ... */
export interface EvenTable {
  readonly start: number;
  readonly step: number;
  readonly values: Float64Array;
}

/**
 * Sum over the grid of value times exp(-(x - mean)²/(2 deviation²)), the exponential by recurrence from the
 * grid point nearest to the mean outwards.
 */
export function kernelSum(table: EvenTable, mean: number, deviation: number, reachOf = usualReach): number {
  const { start, step, values } = table;
  const last = values.length - 1;
  const position = (mean - start) / step;
  const reach = Math.ceil((reachOf * deviation) / step);
  const nearest = Math.min(last, Math.max(0, Math.round(position)));
  if (Math.abs(position - nearest) > reach) return 0;
  const inverse = (step / deviation) * (step / deviation);
  const decay = Math.exp(-inverse);
  const offset = nearest - position;
  const top = Math.exp(-0.5 * offset * offset * inverse);
  let sum = values[nearest]! * top;
  let term = top;
  let ratio = Math.exp(-(offset + 0.5) * inverse);
  const end = Math.min(last, Math.floor(position) + reach);
  for (let index = nearest + 1; index <= end; index++) {
    term *= ratio;
    ratio *= decay;
    sum += values[index]! * term;
  }
  term = top;
  ratio = Math.exp((offset - 0.5) * inverse);
  const begin = Math.max(0, Math.ceil(position) - reach);
  for (let index = nearest - 1; index >= begin; index--) {
    term *= ratio;
    ratio *= decay;
    sum += values[index]! * term;
  }
  return sum;
}

function tabulate(f: (x: number) => number, middle: number, step: number, floor: number): EvenTable {
  const centre = Math.round(middle / step);
  const valueAt = (index: number): number => f((centre + index) * step);
  // Well past the first small value: a remainder may cross zero on its way.
  const enough = Math.ceil(4 / step);
  const right: number[] = [];
  for (let index = 0, small = 0; small < enough && index < 20_000; index++) {
    const value = valueAt(index);
    right.push(value);
    small = Math.abs(value) < floor ? small + 1 : 0;
  }
  const left: number[] = [];
  for (let index = -1, small = 0; small < enough && index > -20_000; index--) {
    const value = valueAt(index);
    left.push(value);
    small = Math.abs(value) < floor ? small + 1 : 0;
  }
  return {
    start: (centre - left.length) * step,
    step,
    values: Float64Array.from([...left.reverse(), ...right]),
  };
}

const rateOf = (logit: number): number => 1 / (1 + Math.exp(-logit));

// The root of x - n·p(θ) - (θ-μ)/τ², which falls in θ: Newton inside a shrinking bracket.
function posteriorMode(
  events: number,
  total: number,
  mean: number,
  deviation: number,
): { logit: number; width: number } {
  const precision = 1 / (deviation * deviation);
  const slopeAtMean = events - total * rateOf(mean);
  // Between the mean and the logit the count alone would give, which is without end when there are no events.
  const own = events > 0 ? Math.log(events / (total - events)) : Number.NEGATIVE_INFINITY;
  const tilted = mean + slopeAtMean / precision;
  const furthest = slopeAtMean > 0 ? Math.min(own, tilted) : Math.max(own, tilted);
  let low = Math.min(mean, furthest);
  let high = Math.max(mean, furthest);
  let logit = mean;
  let before = Number.POSITIVE_INFINITY;
  for (let iteration = 0; iteration < 200; iteration++) {
    const p = rateOf(logit);
    const slope = events - total * p - (logit - mean) * precision;
    if (slope > 0) low = logit;
    else high = logit;
    const curvature = total * p * (1 - p) + precision;
    let next = logit + slope / curvature;
    // Newton can jump to and fro between the flat and the steep side: a step must be half the one before.
    if (!(next >= low && next <= high && Math.abs(next - logit) <= 0.5 * before)) next = 0.5 * (low + high);
    before = Math.abs(next - logit);
    logit = next;
    // The centre of a quadrature rule, not an answer: a hundredth of its width is plenty.
    if (slope * slope < 1e-4 * curvature) break;
  }
  const p = rateOf(logit);
  return { logit, width: 1 / Math.sqrt(total * p * (1 - p) + precision) };
}
