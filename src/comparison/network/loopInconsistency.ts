import { effectOf, normalMargin } from './compareTreatments.ts';
import { contrastWeights, directContrasts, poolDirect } from './directEvidence.ts';
import type { NetworkEffect, NetworkPart } from './networkResult.ts';
import { totalCovariance } from './solveNetwork.ts';

/** Three or four treatments compared in a ring, and by how much the way round fails to come back to nought. */
export interface LoopInconsistency {
  readonly treatments: readonly string[];
  /** Sum of the direct effects round the loop, first less second, second less third and so on. */
  readonly difference: NetworkEffect;
  readonly pValue: number;
}

/**
 * Do the direct comparisons round a ring of treatments add up?
 *
 * For a loop a-b-c the direct pools `ab + bc + ca` should come to nought. Each pool is a weighted mean of studies at the
 * network's between-study variance; a study with several arms in the loop enters more than one pool, and its covariance
 * is carried through. Loops of three, and of four without a shortcut across; a loop that comes from one and the same
 * multi-arm studies adds up by construction and is left out.
 *
 * @see Bucher HC, Guyatt GH, Griffith LE, Walter SD. J Clin Epidemiol 1997;50:683-691. Veroniki AA, Vasiliadis HS, Higgins
 *   JPT, Salanti G. Int J Epidemiol 2013;42:332-345.
 * @example
 * loopInconsistency(network.parts[0]!, 0.95)[0]?.pValue
 */
export function loopInconsistency(part: NetworkPart, level = 0.95): readonly LoopInconsistency[] {
  const { system, solution } = part;
  const count = system.treatments.length;
  const margin = normalMargin(level);
  const edges = new Map<number, Edge>();
  for (let i = 0; i < count; i++) {
    for (let j = i + 1; j < count; j++) {
      const own = directContrasts(system, i, j, solution.betweenStudyVariance);
      const pooled = poolDirect(own);
      if (pooled === undefined) continue;
      // Weights of each study's contrast in the pool of this edge.
      const weights = new Map(own.map(({ study, variance }) => [study, pooled.variance / variance]));
      edges.set(i * count + j, { value: pooled.value, weights });
    }
  }
  const edge = (i: number, j: number): Edge | undefined => edges.get(Math.min(i, j) * count + Math.max(i, j));
  const loops: LoopInconsistency[] = [];
  for (const loop of loopsOf(count, (i, j) => edge(i, j) !== undefined)) {
    const steps = loop.map((from, at) => ({ from, to: loop[(at + 1) % loop.length]! }));
    let value = 0;
    const onStudies = new Map<number, Float64Array>();
    for (const { from, to } of steps) {
      const step = edge(from, to)!;
      value += from < to ? step.value : -step.value;
      for (const [study, weight] of step.weights) {
        const { arms, size } = system.studies[study]!;
        const contrast = contrastWeights(arms, from, to)!;
        const sum = onStudies.get(study) ?? new Float64Array(size);
        for (let i = 0; i < size; i++) sum[i]! += weight * contrast[i]!;
        onStudies.set(study, sum);
      }
    }
    let variance = 0;
    let whole = 0;
    for (const [study, weights] of onStudies) {
      const own = system.studies[study]!;
      const covariance = totalCovariance(own, solution.betweenStudyVariance);
      for (let i = 0; i < own.size; i++) {
        whole += covariance[i * own.size + i]!;
        for (let j = 0; j < own.size; j++)
          variance += weights[i]! * weights[j]! * covariance[i * own.size + j]!;
      }
    }
    if (!(variance > 1e-12 * whole)) continue;
    const difference = effectOf(value, variance, margin, level);
    loops.push({
      treatments: loop.map((place) => system.treatments[place]!),
      difference,
      pValue: difference.pValue,
    });
  }
  return loops;
}

interface Edge {
  readonly value: number;
  readonly weights: ReadonlyMap<number, number>;
}

/** Rings of three, and of four without an edge across, each once. */
function loopsOf(count: number, linked: (i: number, j: number) => boolean): readonly (readonly number[])[] {
  const found: number[][] = [];
  for (let a = 0; a < count; a++)
    for (let b = a + 1; b < count; b++)
      for (let c = b + 1; c < count; c++)
        if (linked(a, b) && linked(b, c) && linked(a, c)) found.push([a, b, c]);
  for (let a = 0; a < count; a++)
    for (let b = a + 1; b < count; b++) {
      if (!linked(a, b)) continue;
      for (let d = b + 1; d < count; d++) {
        if (!linked(a, d) || linked(b, d)) continue;
        for (let c = a + 1; c < count; c++)
          if (c !== b && c !== d && linked(b, c) && linked(c, d) && !linked(a, c)) found.push([a, b, c, d]);
      }
    }
  return found;
}
