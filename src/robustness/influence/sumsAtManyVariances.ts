import type { PooledSample } from '../../pooling/pooledSample.ts';

/** Most interpolation points a piece; with pieces no wider than the smallest total variance in them, exact to rounding. */
const mostPoints = 20;

/** Sums over all studies of w, w·y and w·y² with `w = 1 / (v + τ²)`, one row for each τ² asked for. */
export interface WeightSums {
  readonly weights: Float64Array;
  readonly weighted: Float64Array;
  readonly squares: Float64Array;
}

/**
 * What are the weighted sums at thousands of between-study variances, without thousands of passes over the studies?
 *
 * The sums are smooth in τ²: each is a sum of `1 / (v + τ²)`, whose nearest singularity lies at minus the smallest
 * sampling variance. The range of τ² is cut into pieces no wider than the smallest total variance `v + τ²` in them;
 * on such a piece a polynomial through n Chebyshev points errs by the order of `ρ^-n`, with `ρ = z + √(z² - 1)` at least
 * 5.8, z the distance of the singularity from the middle in half widths; n is what takes that below rounding. Few τ² in
 * a piece are summed directly. The cost is linear in the studies plus the variances asked for.
 *
 * Source: Trefethen LN, Approximation Theory and Approximation Practice, 2013, theorem 8.2 and chapter 5 (barycentric
 * formula).
 *
 * @param sample values as distances from the centre, and sampling variances
 * @param betweenStudyVariances each zero or more
 */
export function sumsAtManyVariances(sample: PooledSample, betweenStudyVariances: Float64Array): WeightSums {
  const asked = betweenStudyVariances.length;
  const sums: WeightSums = {
    weights: new Float64Array(asked),
    weighted: new Float64Array(asked),
    squares: new Float64Array(asked),
  };
  let lowest = Infinity;
  for (const variance of betweenStudyVariances) lowest = Math.min(lowest, variance);
  const least = sample.variances[sample.mostPrecise]! + lowest;
  // Piece p holds the variances whose excess over the lowest lies between 2^p - 1 and 2^(p+1) - 1 times `least`.
  const pieces: number[][] = [];
  for (let i = 0; i < asked; i++) {
    const piece = Math.floor(Math.log2(1 + (betweenStudyVariances[i]! - lowest) / least));
    const members = pieces[piece];
    if (members) members.push(i);
    else pieces[piece] = [i];
  }
  for (const members of pieces) if (members) fill(sample, betweenStudyVariances, members, sums);
  return sums;
}

/** One piece: directly where that is less work, else by interpolation between its own ends. */
function fill(sample: PooledSample, asked: Float64Array, members: readonly number[], sums: WeightSums): void {
  let low = Infinity;
  let high = 0;
  for (const i of members) {
    low = Math.min(low, asked[i]!);
    high = Math.max(high, asked[i]!);
  }
  const at = new Float64Array(3);
  if (low === high) {
    sumAt(sample, low, at);
    for (const i of members) store(sums, i, at);
  } else if (members.length <= mostPoints) {
    for (const i of members) {
      sumAt(sample, asked[i]!, at);
      store(sums, i, at);
    }
  } else interpolate(sample, low, high, asked, members, sums);
}

function store(sums: WeightSums, at: number, values: Float64Array): void {
  sums.weights[at] = values[0]!;
  sums.weighted[at] = values[1]!;
  sums.squares[at] = values[2]!;
}

function sumAt({ count, distances, variances }: PooledSample, variance: number, out: Float64Array): void {
  let weights = 0;
  let weighted = 0;
  let squares = 0;
  for (let i = 0; i < count; i++) {
    const weight = 1 / (variances[i]! + variance);
    const part = weight * distances[i]!;
    weights += weight;
    weighted += part;
    squares += part * distances[i]!;
  }
  out[0] = weights;
  out[1] = weighted;
  out[2] = squares;
}

function interpolate(
  sample: PooledSample,
  low: number,
  high: number,
  variances: Float64Array,
  members: readonly number[],
  sums: WeightSums,
): void {
  const half = 0.5 * (high - low);
  const z = (0.5 * (low + high) + sample.variances[sample.mostPrecise]!) / half;
  const points = Math.min(mostPoints, Math.ceil(40 / Math.log(z + Math.sqrt(z * z - 1))) + 2);
  const nodes = new Float64Array(points);
  const signs = new Float64Array(points);
  const values = new Float64Array(3 * points);
  const at = new Float64Array(3);
  for (let j = 0; j < points; j++) {
    const angle = ((2 * j + 1) * Math.PI) / (2 * points);
    nodes[j] = 0.5 * (low + high) + half * Math.cos(angle);
    signs[j] = (j % 2 === 0 ? 1 : -1) * Math.sin(angle);
    sumAt(sample, nodes[j]!, at);
    values.set(at, 3 * j);
  }
  for (const member of members) {
    const variance = variances[member]!;
    let total = 0;
    let weights = 0;
    let weighted = 0;
    let squares = 0;
    let node = -1;
    for (let j = 0; j < points; j++) {
      const distance = variance - nodes[j]!;
      if (distance === 0) node = j;
      const share = signs[j]! / distance;
      total += share;
      weights += share * values[3 * j]!;
      weighted += share * values[3 * j + 1]!;
      squares += share * values[3 * j + 2]!;
    }
    if (node >= 0) store(sums, member, values.subarray(3 * node, 3 * node + 3));
    else {
      sums.weights[member] = weights / total;
      sums.weighted[member] = weighted / total;
      sums.squares[member] = squares / total;
    }
  }
}
