import { checkChoice } from '../../pooling/optionChecks.ts';
import { effectOf, normalMargin } from './compareTreatments.ts';
import { contrastWeights } from './directEvidence.ts';
import type { ResolvedNetworkOptions } from './networkOptions.ts';
import type { NetworkEffect, NetworkPart } from './networkResult.ts';
import type { NetworkSystem } from './networkSystem.ts';
import { networkVariance } from './networkVariance.ts';
import { type NetworkSolution, solveNetwork, varianceOfDifference } from './solveNetwork.ts';

/** Which between-study variance a split is made at: estimated anew with the pair split, or that of the network as it is. */
export const splitVariances = ['refitted', 'unsplit'] as const;
export type SplitVariance = (typeof splitVariances)[number];

export interface SplitOptions {
  /** Default `refitted`. */
  readonly variance?: SplitVariance;
}

/** Direct and indirect evidence on one pair, each from a refit in which they may differ. */
export interface NodeSplit {
  readonly treatment: string;
  readonly comparator: string;
  readonly direct: NetworkEffect;
  readonly indirect: NetworkEffect;
  /** Direct less indirect. */
  readonly difference: NetworkEffect;
  readonly pValue: number;
  /** The between-study variance it was made at. */
  readonly betweenStudyVariance: number;
}

/**
 * Does the evidence from studies of a pair agree with what the rest of the network says of it?
 *
 * For each pair with both kinds of evidence the network is refitted with one term ω added: in studies that hold both
 * arms the difference is `d + ω`, halves of ω going to the two arms (+ω/2 and −ω/2), so that the answer does not hang
 * on which treatment is called the comparator. Elsewhere it is d. The between-study variance is estimated anew, or with
 * `variance: 'unsplit'` is the network's own: then conflict counts as scatter too, all pairs are judged by one variance,
 * and with two-arm studies only, ω is the difference of {@link NetworkComparison}'s direct and indirect estimates. With
 * two-arm studies only, direct is the pool of the pair's studies and indirect the network without them.
 *
 * @throws RangeError for an unknown `variance`
 *
 * A pair whose evidence cannot be told apart (all from the same multi-arm studies) is left out.
 *
 * @see Dias S, Welton NJ, Caldwell DM, Ades AE. Stat Med 2010;29:932-944 (node-splitting). Tu YK. Value Health
 *   2016;19:957-963 (multi-arm studies and the symmetrical form; from memory).
 * @example
 * splitNodes(network.parts[0]!, network.options).filter(({ pValue }) => pValue < 0.1)
 */
export function splitNodes(
  part: NetworkPart,
  options: ResolvedNetworkOptions,
  split: SplitOptions = {},
): readonly NodeSplit[] {
  const variance = checkChoice('variance', split.variance ?? 'refitted', splitVariances);
  const { system } = part;
  const { level } = options;
  const margin = normalMargin(level);
  const splits: NodeSplit[] = [];
  const solved = new Map<number, NetworkSolution>();
  const solutionAt = (variance: number): NetworkSolution => {
    const known = solved.get(variance);
    if (known !== undefined) return known;
    const solution = solveNetwork(system, variance);
    solved.set(variance, solution);
    return solution;
  };
  for (const comparison of part.comparisons) {
    if (comparison.direct === undefined || comparison.directShare > 1 - 1e-9) continue;
    const one = system.treatments.indexOf(comparison.treatment);
    const other = system.treatments.indexOf(comparison.comparator);
    const term = splitTerm(system, one, other);
    if (solveSplit(system, term, solutionAt(0)) === undefined) continue;
    const estimated =
      options.model === 'common-effect' || variance === 'unsplit'
        ? part.solution.betweenStudyVariance
        : (networkVariance(
            {
              degreesOfFreedom: system.degreesOfFreedom - 1,
              solve: (variance) => solveSplit(system, term, solutionAt(variance))!,
            },
            options.betweenStudyVariance,
          ) ?? 0);
    const refit = solveSplit(system, term, solutionAt(estimated));
    if (refit === undefined) continue;
    const { solution, omega, omegaVariance, pull } = refit;
    const count = system.treatments.length;
    const base = solution.effects[one]! - solution.effects[other]!;
    const slope = pull[one]! - pull[other]!;
    const ofPair = varianceOfDifference(solution.covariance, count, one, other);
    const indirect = base - omega * slope;
    const difference = effectOf(omega, omegaVariance, margin, level);
    splits.push({
      treatment: comparison.treatment,
      comparator: comparison.comparator,
      direct: effectOf(indirect + omega, ofPair + (1 - slope) ** 2 * omegaVariance, margin, level),
      indirect: effectOf(indirect, ofPair + slope ** 2 * omegaVariance, margin, level),
      difference,
      pValue: difference.pValue,
      betweenStudyVariance: estimated,
    });
  }
  return splits;
}

/** How ω enters each study's contrasts. */
function splitTerm(system: NetworkSystem, one: number, other: number): readonly Float64Array[] {
  return system.studies.map(({ arms, size }) => {
    const term = new Float64Array(size);
    if (contrastWeights(arms, one, other) === undefined) return term;
    const ofArm = (arm: number): number => (arm === one ? 0.5 : arm === other ? -0.5 : 0);
    for (let i = 0; i < size; i++) term[i] = ofArm(arms[i + 1]!) - ofArm(arms[0]!);
    return term;
  });
}

/** The network with one term more, by sweeping the term out of the network's own solution. */
function solveSplit(system: NetworkSystem, term: readonly Float64Array[], solution: NetworkSolution) {
  const swept = sweep(system, solution, term);
  if (!(swept.information > 1e-9 * swept.whole)) return undefined;
  const data = solution.weightedResiduals;
  let cross = 0;
  let scatter = 0;
  let leverage = 0;
  for (let s = 0; s < term.length; s++) {
    const { size } = system.studies[s]!;
    for (let i = 0; i < size; i++) cross += term[s]![i]! * data[s]![i]!;
  }
  const omega = cross / swept.information;
  for (let s = 0; s < term.length; s++) {
    const { size } = system.studies[s]!;
    let sumResidual = 0;
    let sumTerm = 0;
    for (let i = 0; i < size; i++) {
      const residual = data[s]![i]! - omega * swept.weighted[s]![i]!;
      const own = swept.weighted[s]![i]!;
      scatter += 0.5 * residual * residual;
      leverage += 0.5 * own * own;
      sumResidual += residual;
      sumTerm += own;
    }
    scatter += 0.5 * sumResidual * sumResidual;
    leverage += 0.5 * sumTerm * sumTerm;
  }
  leverage /= swept.information;
  const fall = omega * omega * swept.information;
  // Scatter of the network without the term, to exchange for that with it.
  let before = 0;
  for (let s = 0; s < term.length; s++) {
    let sum = 0;
    for (const each of data[s]!) {
      before += 0.5 * each * each;
      sum += each;
    }
    before += 0.5 * sum * sum;
  }
  return {
    solution,
    omega,
    omegaVariance: 1 / swept.information,
    pull: swept.effects,
    q: solution.q - fall,
    momentScale: solution.momentScale - leverage,
    slope: solution.slope + 0.5 * (scatter - before),
    restrictedSlope: solution.restrictedSlope + 0.5 * (scatter - before + leverage),
    logLikelihood: solution.logLikelihood + 0.5 * fall,
    restrictedLogLikelihood: solution.restrictedLogLikelihood + 0.5 * (fall - Math.log(swept.information)),
  };
}

/** What the network's treatments explain of a vector on the contrasts, and the weighted rest. */
function sweep(system: NetworkSystem, solution: NetworkSolution, vector: readonly Float64Array[]) {
  const count = system.treatments.length;
  const right = new Float64Array(count);
  let whole = 0;
  for (let s = 0; s < vector.length; s++) {
    const { arms, size } = system.studies[s]!;
    const own = vector[s]!;
    const weight = solution.weights[s]!;
    for (let i = 0; i < size; i++) {
      let weighted = 0;
      for (let j = 0; j < size; j++) weighted += weight[i * size + j]! * own[j]!;
      right[arms[i + 1]!]! += weighted;
      right[arms[0]!]! -= weighted;
      whole += weighted * own[i]!;
    }
  }
  const effects = new Float64Array(count);
  for (let i = 0; i < count; i++)
    for (let j = 0; j < count; j++) effects[i]! += solution.covariance[i * count + j]! * right[j]!;
  let information = 0;
  const weighted: Float64Array[] = new Array(vector.length);
  for (let s = 0; s < vector.length; s++) {
    const { arms, size } = system.studies[s]!;
    const own = vector[s]!;
    const weight = solution.weights[s]!;
    const base = effects[arms[0]!]!;
    if (size === 1) {
      const residual = own[0]! - (effects[arms[1]!]! - base);
      const each = weight[0]! * residual;
      weighted[s] = Float64Array.of(each);
      information += each * residual;
      continue;
    }
    const out = new Float64Array(size);
    for (let i = 0; i < size; i++) {
      for (let j = 0; j < size; j++)
        out[i]! += weight[i * size + j]! * (own[j]! - (effects[arms[j + 1]!]! - base));
      information += out[i]! * (own[i]! - (effects[arms[i + 1]!]! - base));
    }
    weighted[s] = out;
  }
  return { effects, weighted, information, whole };
}
