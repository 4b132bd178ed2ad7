import type { PooledSample } from '../../pooling/pooledSample.ts';
import { halfTable } from './halfTables.ts';

/** Where the pools of subsets go: position `m - from` for the subset whose bits are `m`. */
export interface SubsetPools {
  /** Random-effects (or common-effect) means, as distances from the sample's centre. */
  readonly means: Float64Array;
  /** I², 0 to 1; 0 for one study. */
  readonly iSquared: Float64Array;
}

/**
 * What would the studies have said had any of them never been done?
 *
 * The pool of every subset `from` to `to - 1`, a subset being a number whose bit i says whether study i is in. The
 * low and the high half of the studies have tables of all their subsets; two entries join into the common-effect pool
 * of a subset in a handful of operations: `Q = Q₁ + Q₂ + W₁ W₂ / W (μ₁ - μ₂)²`, and the same for the moment scale
 * `2 Σ w w' / Σ w`. Only where Q exceeds its degrees of freedom are members gone through again for their weights
 * `1 / (v + τ²)`. Every number depends on its own subset alone, so that a range gives the same bits by itself as
 * inside a longer one.
 *
 * @param sample up to 22 studies
 * @param from first subset, 1 or more
 * @param to past the last subset, at most 2^k
 * @param randomEffects false keeps the weights at `1 / v`
 *
 * Sources: DerSimonian R, Laird N, Control Clin Trials 1986;7:177-188, equation 8; Chan TF, Golub GH, LeVeque RJ, Am
 * Stat 1983;37:242-247, equation 2.1 (joining two halves); the picture of all subsets: Olkin I, Dahabreh IJ,
 * Trikalinos TA, Res Synth Methods 2012;3:214-223.
 */
export function scanSubsets(
  sample: PooledSample,
  from: number,
  to: number,
  randomEffects: boolean,
  { means, iSquared }: SubsetPools,
): void {
  const below = sample.count >> 1;
  const low = halfTable(sample, 0, below);
  const high = halfTable(sample, below, sample.count);
  const mask = low.size - 1;
  const lowWeights = low.weightSums;
  const lowMeans = low.means;
  const lowQ = low.q;
  const lowPairs = low.pairs;
  const lowCounts = low.counts;
  const lowStarts = low.starts;
  const lowVariances = low.variances;
  const lowDistances = low.distances;
  const highVariances = high.variances;
  const highDistances = high.distances;
  for (let top = from >>> below; top <= (to - 1) >>> below; top++) {
    const W2 = high.weightSums[top]!;
    const mean2 = high.means[top]!;
    const q2 = high.q[top]!;
    const pairs2 = high.pairs[top]!;
    const count2 = high.counts[top]! - 1;
    const start2 = high.starts[top]!;
    const end2 = high.starts[top + 1]!;
    const first = top === from >>> below ? from & mask : 0;
    const last = top === (to - 1) >>> below ? (to - 1) & mask : mask;
    for (let bottom = first; bottom <= last; bottom++) {
      const W1 = lowWeights[bottom]!;
      const W = W1 + W2;
      const at = top * low.size + bottom - from;
      if (W === 0) continue;
      const product = W1 * W2;
      const apart = mean2 - lowMeans[bottom]!;
      const q = lowQ[bottom]! + q2 + (product / W) * apart * apart;
      const excess = q - (lowCounts[bottom]! + count2);
      if (!(excess > 0)) {
        means[at] = W1 === 0 ? mean2 : lowMeans[bottom]! + (W2 / W) * apart;
        iSquared[at] = 0;
        continue;
      }
      iSquared[at] = excess / q;
      if (!randomEffects) {
        means[at] = W1 === 0 ? mean2 : lowMeans[bottom]! + (W2 / W) * apart;
        continue;
      }
      const between = (excess * W) / (2 * (lowPairs[bottom]! + pairs2 + product));
      let weights = 0;
      let weighted = 0;
      for (let member = start2; member < end2; member++) {
        const weight = 1 / (highVariances[member]! + between);
        weights += weight;
        weighted += weight * highDistances[member]!;
      }
      const end1 = lowStarts[bottom + 1]!;
      for (let member = lowStarts[bottom]!; member < end1; member++) {
        const weight = 1 / (lowVariances[member]! + between);
        weights += weight;
        weighted += weight * lowDistances[member]!;
      }
      means[at] = weighted / weights;
    }
  }
}
