import { seededUniform } from '../../numerics/seededUniform.ts';
import { type PooledSample, pooledSample } from '../../pooling/pooledSample.ts';
import { scanSubsets } from './scanSubsets.ts';
import type { SubsetPlan } from './subsetPlan.ts';

/** Subsets done at a time; a drawn sample has a random stream for each such block, so that blocks can go anywhere. */
export const subsetBlock = 2 ** 16;

/** Pools of subsets in order, on the analysis scale. */
export interface SubsetArrays {
  readonly means: Float64Array;
  readonly iSquared: Float64Array;
  /** Members of drawn subsets, `words` numbers each, study i in bit i; empty when every subset is there. */
  readonly members: Uint32Array;
}

/**
 * Pools the subsets of one block of a plan into arrays for the whole plan.
 *
 * @param block 0 for the first {@link subsetBlock} subsets, and so on
 */
export function fillSubsets(plan: SubsetPlan, block: number, arrays: SubsetArrays): void {
  const from = block * subsetBlock;
  const to = Math.min(plan.subsets, from + subsetBlock);
  const sample = pooledSample(plan.values.slice(), plan.variances);
  const means = arrays.means.subarray(from, to);
  const iSquared = arrays.iSquared.subarray(from, to);
  const randomEffects = plan.model === 'random-effects';
  if (plan.seed === undefined) scanSubsets(sample, from + 1, to + 1, randomEffects, { means, iSquared });
  else {
    const members = arrays.members.subarray(from * plan.words, to * plan.words);
    draw(sample.count, plan.words, mixed(plan.seed, block), members);
    const one = new Float64Array(2);
    for (let i = 0; i < to - from; i++) {
      poolMembers(sample, members, i * plan.words, randomEffects, one);
      means[i] = one[0]!;
      iSquared[i] = one[1]!;
    }
  }
  for (let i = 0; i < means.length; i++) means[i]! += sample.centre;
}

/** Seed of one block: neighbouring seeds and blocks must not share a stream. */
const mixed = (seed: number, block: number): number =>
  Math.imul(Math.imul(seed ^ 0x5bd1e995, 0x9e3779b1) + block + 1, 0x85ebca6b) | 0;

/** Every study is in with probability one half; an empty draw is drawn again, so that all subsets are equally likely. */
function draw(count: number, words: number, seed: number, members: Uint32Array): void {
  const random = seededUniform(seed);
  const lastBits = count - 32 * (words - 1);
  const lastMask = lastBits === 32 ? 0xffffffff : 2 ** lastBits - 1;
  for (let at = 0; at < members.length; ) {
    let any = 0;
    for (let word = 0; word < words; word++) {
      const bits = Math.floor(random() * 2 ** 32);
      members[at + word] = word === words - 1 ? bits & lastMask : bits;
      any |= members[at + word]!;
    }
    if (any !== 0) at += words;
  }
}

function poolMembers(
  { count, distances, variances }: PooledSample,
  members: Uint32Array,
  start: number,
  randomEffects: boolean,
  out: Float64Array,
): void {
  const isIn = (study: number): boolean => ((members[start + (study >>> 5)]! >>> (study & 31)) & 1) === 1;
  let size = 0;
  let total = 0;
  let mean = 0;
  let q = 0;
  let pairs = 0;
  for (let study = 0; study < count; study++) {
    if (!isIn(study)) continue;
    const weight = 1 / variances[study]!;
    const before = total;
    const apart = distances[study]! - mean;
    total += weight;
    mean = size === 0 ? distances[study]! : mean + (weight / total) * apart;
    if (size > 0) q += ((before * weight) / total) * apart * apart;
    pairs += before * weight;
    size++;
  }
  const excess = q - (size - 1);
  out[0] = mean;
  out[1] = excess > 0 ? excess / q : 0;
  if (!(excess > 0) || !randomEffects) return;
  const between = (excess * total) / (2 * pairs);
  let weights = 0;
  let weighted = 0;
  for (let study = 0; study < count; study++) {
    if (!isIn(study)) continue;
    const weight = 1 / (variances[study]! + between);
    weights += weight;
    weighted += weight * distances[study]!;
  }
  out[0] = weighted / weights;
}
