import type { PooledSample } from '../../pooling/pooledSample.ts';

/** The common-effect pool of every subset of a few studies, by bit pattern; the empty one is all zeros. */
export interface HalfTable {
  readonly size: number;
  readonly counts: Uint8Array;
  readonly weightSums: Float64Array;
  /** Common-effect means, as distances from the sample's centre. */
  readonly means: Float64Array;
  readonly q: Float64Array;
  /** Sum of w w' over pairs of members. */
  readonly pairs: Float64Array;
  /** Members of every subset one after another, lowest first: those of subset m start at `starts[m]`. */
  readonly starts: Uint32Array;
  readonly variances: Float64Array;
  readonly distances: Float64Array;
}

/**
 * Pools every subset of the studies from `first` up to `last`, each from the subset without its highest member:
 * weights, means and scatter are updated, never subtracted, so that no digit is lost on the way.
 *
 * Source of the update of mean and scatter: Chan TF, Golub GH, LeVeque RJ, Am Stat 1983;37:242-247, equation 1.5.
 */
export function halfTable(sample: PooledSample, first: number, last: number): HalfTable {
  const studies = last - first;
  const size = 2 ** studies;
  const table: HalfTable = {
    size,
    counts: new Uint8Array(size),
    weightSums: new Float64Array(size),
    means: new Float64Array(size),
    q: new Float64Array(size),
    pairs: new Float64Array(size),
    starts: new Uint32Array(size + 1),
    variances: new Float64Array((size * studies) / 2),
    distances: new Float64Array((size * studies) / 2),
  };
  const { counts, weightSums, means, q, pairs, starts } = table;
  let end = 0;
  for (let subset = 1; subset < size; subset++) {
    const highest = 31 - Math.clz32(subset);
    const others = subset ^ (1 << highest);
    const w = 1 / sample.variances[first + highest]!;
    const y = sample.distances[first + highest]!;
    const before = weightSums[others]!;
    const total = before + w;
    const apart = y - means[others]!;
    counts[subset] = counts[others]! + 1;
    weightSums[subset] = total;
    means[subset] = others === 0 ? y : means[others]! + (w / total) * apart;
    q[subset] = others === 0 ? 0 : q[others]! + ((before * w) / total) * apart * apart;
    pairs[subset] = pairs[others]! + before * w;
    starts[subset] = end;
    for (let study = 0; study < studies; study++) {
      if (((subset >>> study) & 1) === 0) continue;
      table.variances[end] = sample.variances[first + study]!;
      table.distances[end] = sample.distances[first + study]!;
      end++;
    }
  }
  starts[size] = end;
  return table;
}
