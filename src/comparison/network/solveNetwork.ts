import { cholesky, choleskyInverse, choleskySolve } from '../../numerics/cholesky.ts';
import type { NetworkSystem, SystemStudy } from './networkSystem.ts';

/** A network at one between-study variance. */
export interface NetworkSolution {
  readonly betweenStudyVariance: number;
  /** Effect of each treatment less that of the first in the list. */
  readonly effects: Float64Array;
  /** Covariance of `effects`, row-major, with a first row and column of zeros. */
  readonly covariance: Float64Array;
  /** Generalised Q: Σ (y - Xd)ᵀ V⁻¹ (y - Xd). */
  readonly q: number;
  /** Inverse covariance of each study's contrasts, between-study variance included. */
  readonly weights: readonly Float64Array[];
  /** Those weights times each study's residuals. */
  readonly weightedResiduals: readonly Float64Array[];
  /** Log-likelihood without its constant. */
  readonly logLikelihood: number;
  readonly restrictedLogLikelihood: number;
  /** Slopes of the two in the between-study variance. */
  readonly slope: number;
  readonly restrictedSlope: number;
  /** How fast the expected Q grows with the between-study variance, the weights held. */
  readonly momentScale: number;
}

/** Covariance of a study's contrasts: sampling plus τ² on the diagonal and τ²/2 beside it. */
export function totalCovariance(
  { size, covariance }: SystemStudy,
  betweenStudyVariance: number,
): Float64Array {
  const total = Float64Array.from(covariance);
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++)
      total[i * size + j]! += i === j ? betweenStudyVariance : betweenStudyVariance / 2;
  return total;
}

/**
 * What do the treatments' effects come to, given how much studies differ beyond chance?
 *
 * `d = (Xᵀ V⁻¹ X)⁻¹ Xᵀ V⁻¹ y` with V block-diagonal by study, `V = S + τ² P`, P with 1 on the diagonal and ½
 * beside it (every pair of treatments differs by the same variance between studies). In place of X the sum over
 * studies is held as a matrix over treatments whose rows sum to zero; the first treatment is then held at zero.
 *
 * Sources: Lu G, Ades AE, Stat Med 2004;23:3105-3124; Higgins JPT, Whitehead A, Stat Med 1996;15:2733-2749 (common
 * between-study variance); Rücker G, Res Synth Methods 2012;3:312-324 (the matrix over treatments).
 */
export function solveNetwork(system: NetworkSystem, betweenStudyVariance: number): NetworkSolution {
  const count = system.treatments.length;
  const size = count - 1;
  const information = new Float64Array(size * size);
  const right = new Float64Array(size);
  const weights: Float64Array[] = new Array(system.studies.length);
  let logDeterminants = 0;
  let traceWeights = 0;
  // Adds value × (e_to)(e_other)ᵀ; places count from 1 because the first treatment is held at zero.
  const add = (row: number, column: number, value: number): void => {
    if (row > 0 && column > 0) information[(row - 1) * size + column - 1]! += value;
  };
  for (let s = 0; s < system.studies.length; s++) {
    const study = system.studies[s]!;
    const { arms, size: own, values } = study;
    const base = arms[0]!;
    if (own === 1) {
      const total = study.covariance[0]! + betweenStudyVariance;
      const weight = 1 / total;
      weights[s] = Float64Array.of(weight);
      logDeterminants += Math.log(total);
      traceWeights += weight;
      const other = arms[1]!;
      if (other > 0) {
        information[(other - 1) * size + other - 1]! += weight;
        right[other - 1]! += weight * values[0]!;
        if (base > 0) {
          information[(base - 1) * size + other - 1]! -= weight;
          information[(other - 1) * size + base - 1]! -= weight;
        }
      }
      if (base > 0) {
        information[(base - 1) * size + base - 1]! += weight;
        right[base - 1]! -= weight * values[0]!;
      }
      continue;
    }
    const factor = cholesky(totalCovariance(study, betweenStudyVariance), own)!;
    logDeterminants += factor.logDeterminant;
    const weight = choleskyInverse(factor);
    weights[s] = weight;
    let all = 0;
    let diagonal = 0;
    let baseRight = 0;
    for (let i = 0; i < own; i++) {
      let rowSum = 0;
      let weighted = 0;
      for (let j = 0; j < own; j++) {
        const w = weight[i * own + j]!;
        add(arms[i + 1]!, arms[j + 1]!, w);
        rowSum += w;
        weighted += w * values[j]!;
      }
      diagonal += weight[i * own + i]!;
      all += rowSum;
      add(arms[i + 1]!, base, -rowSum);
      add(base, arms[i + 1]!, -rowSum);
      if (arms[i + 1]! > 0) right[arms[i + 1]! - 1]! += weighted;
      baseRight -= weighted;
    }
    add(base, base, all);
    if (base > 0) right[base - 1]! += baseRight;
    traceWeights += 0.5 * (diagonal + all);
  }
  const factor = cholesky(information, size)!;
  const solved = choleskySolve(factor, right);
  const inverse = choleskyInverse(factor);
  const effects = new Float64Array(count);
  effects.set(solved, 1);
  const covariance = new Float64Array(count * count);
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++) covariance[(i + 1) * count + j + 1] = inverse[i * size + j]!;

  let q = 0;
  let scatter = 0;
  let leverage = 0;
  const weightedResiduals: Float64Array[] = new Array(system.studies.length);
  for (let s = 0; s < system.studies.length; s++) {
    const { arms, size: own, values } = system.studies[s]!;
    const weight = weights[s]!;
    const base = arms[0]!;
    if (own === 1) {
      const w = weight[0]!;
      const other = arms[1]!;
      const residual = values[0]! - (effects[other]! - effects[base]!);
      weightedResiduals[s] = Float64Array.of(w * residual);
      q += w * residual * residual;
      scatter += w * w * residual * residual;
      leverage += w * w * varianceOfDifference(covariance, count, other, base);
      continue;
    }
    // Residuals, and U = W D: the weights carried over to the arms.
    const residuals = values.map((value, i) => value - (effects[arms[i + 1]!]! - effects[base]!));
    const summed = new Float64Array(own + 1);
    const ownWeighted = new Float64Array(own);
    weightedResiduals[s] = ownWeighted;
    let weightedSum = 0;
    for (let i = 0; i < own; i++) {
      let weighted = 0;
      const row = new Float64Array(own + 1);
      for (let j = 0; j < own; j++) {
        const w = weight[i * own + j]!;
        weighted += w * residuals[j]!;
        row[j + 1] = w;
        row[0]! -= w;
      }
      ownWeighted[i] = weighted;
      q += weighted * residuals[i]!;
      scatter += 0.5 * weighted * weighted;
      weightedSum += weighted;
      leverage += 0.5 * quadraticForm(covariance, count, arms, row);
      for (let j = 0; j <= own; j++) summed[j]! += row[j]!;
    }
    scatter += 0.5 * weightedSum * weightedSum;
    leverage += 0.5 * quadraticForm(covariance, count, arms, summed);
  }
  return {
    betweenStudyVariance,
    effects,
    covariance,
    q,
    weights,
    weightedResiduals,
    logLikelihood: -0.5 * (logDeterminants + q),
    restrictedLogLikelihood: -0.5 * (logDeterminants + factor.logDeterminant + q),
    slope: 0.5 * (scatter - traceWeights),
    restrictedSlope: 0.5 * (scatter - traceWeights + leverage),
    momentScale: traceWeights - leverage,
  };
}

/** Variance of one effect less another. */
export function varianceOfDifference(
  covariance: Float64Array,
  count: number,
  one: number,
  other: number,
): number {
  return (
    covariance[one * count + one]! + covariance[other * count + other]! - 2 * covariance[one * count + other]!
  );
}

/** aᵀ C a for weights on the arms of one study. */
function quadraticForm(covariance: Float64Array, count: number, arms: Int32Array, a: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < arms.length; i++)
    for (let j = 0; j < arms.length; j++) sum += a[i]! * a[j]! * covariance[arms[i]! * count + arms[j]!]!;
  return sum;
}
