import { gaussHermite } from '../../numerics/gaussHermite.ts';
import type { LikelihoodTerm } from './likelihoodTerms.ts';
import { choleskyOfNegative, newtonMaximum } from './newtonMaximum.ts';

/**
 * A study's counts depend on linear predictors `ηⱼ = Σ fixed[j][p]·βₚ + Σ random[j][d]·s_d·u_d`, with
 * independent standard normal `u_d`: `β` are the coefficients, `s` the between-study standard deviations.
 */
export interface MixedDesign {
  /** One row per predictor, one column per coefficient. */
  readonly fixed: readonly (readonly number[])[];
  /** One row per predictor, one column per random dimension (one or two). */
  readonly random: readonly (readonly number[])[];
}

/** Value, gradient and Hessian (row by row) over `[β..., s...]`. */
export interface StudyIntegral {
  logLikelihood: number;
  readonly gradient: Float64Array;
  readonly hessian: Float64Array;
}

/**
 * How likely is one study's outcome with its random deviations integrated out, and how does that change with
 * each parameter?
 *
 * Adaptive Gauss-Hermite quadrature: centred at the mode of the integrand and scaled by its curvature there.
 * Slopes and curvatures are the expectations of those of the complete log-likelihood over the deviations
 * given the data (Fisher's and Louis' identities), by the same quadrature.
 *
 * Sources: Pinheiro JC, Bates DM, J Comput Graph Stat 1995;4:12-35, section 2.4; Louis TA, J R Stat Soc B
 * 1982;44:226-233.
 *
 * @param terms one log-likelihood term per predictor
 * @param parameters `[β..., s...]`
 * @param points of the quadrature, one number per dimension; 1 is exact for a dimension whose `s` is zero
 * @param mode start of the search for the integrand's mode; overwritten with the mode
 */
export function integrateStudy(
  terms: readonly LikelihoodTerm[],
  design: MixedDesign,
  parameters: ArrayLike<number>,
  points: readonly number[],
  mode: Float64Array,
  result: StudyIntegral,
): void {
  const predictors = terms.length;
  const coefficients = design.fixed[0]!.length;
  const dimensions = design.random[0]!.length;
  const size = coefficients + dimensions;
  const centre = design.fixed.map((row) => row.reduce((sum, value, p) => sum + value * parameters[p]!, 0));
  const slope = design.random.map((row) => row.map((value, d) => value * parameters[coefficients + d]!));
  const one = new Float64Array(3);

  const integrand = (u: ArrayLike<number>, gradient: Float64Array, hessian: Float64Array): number => {
    let value = 0;
    for (let d = 0; d < dimensions; d++) {
      value -= (u[d]! * u[d]!) / 2;
      gradient[d] = -u[d]!;
      for (let e = 0; e < dimensions; e++) hessian[d * dimensions + e] = d === e ? -1 : 0;
    }
    for (let j = 0; j < predictors; j++) {
      let eta = centre[j]!;
      for (let d = 0; d < dimensions; d++) eta += slope[j]![d]! * u[d]!;
      terms[j]!(eta, one);
      value += one[0]!;
      for (let d = 0; d < dimensions; d++) {
        gradient[d]! += slope[j]![d]! * one[1]!;
        for (let e = 0; e < dimensions; e++) {
          hessian[d * dimensions + e]! += slope[j]![d]! * slope[j]![e]! * one[2]!;
        }
      }
    }
    return value;
  };
  const search = newtonMaximum(integrand, mode, { tolerance: 1e-12, longestStep: 10 });
  mode.set(search.at);
  const top = search.value;
  const spread = inverseTransposed(choleskyOfNegative(search.hessian, dimensions, 0)!, dimensions);
  let logVolume = 0;
  for (let d = 0; d < dimensions; d++) logVolume += Math.log(spread[d * dimensions + d]!);

  const rules = points.map(gaussHermite);
  const inner = points[0]!;
  const { gradient, hessian } = result;
  const sums = new Float64Array(size);
  const squares = new Float64Array(size * size);
  const direction = new Float64Array(size);
  const total = new Float64Array(size);
  const curvature = new Float64Array(size * size);
  const u = new Float64Array(dimensions);
  let sum = 0;
  const cells = points.reduce((product, count) => product * count, 1);
  for (let cell = 0; cell < cells; cell++) {
    const first = cell % inner;
    const second = (cell - first) / inner;
    const z0 = rules[0]!.nodes[first]!;
    const z1 = dimensions > 1 ? rules[1]!.nodes[second]! : 0;
    let weight = rules[0]!.weights[first]! * (dimensions > 1 ? rules[1]!.weights[second]! : 1);
    for (let d = 0; d < dimensions; d++) {
      u[d] = mode[d]! + spread[d * dimensions]! * z0;
      if (dimensions > 1) u[d]! += spread[d * dimensions + 1]! * z1;
    }
    let value = (z0 * z0 + z1 * z1) / 2;
    for (let d = 0; d < dimensions; d++) value -= (u[d]! * u[d]!) / 2;
    total.fill(0);
    curvature.fill(0);
    for (let j = 0; j < predictors; j++) {
      let eta = centre[j]!;
      for (let d = 0; d < dimensions; d++) eta += slope[j]![d]! * u[d]!;
      terms[j]!(eta, one);
      value += one[0]!;
      for (let p = 0; p < coefficients; p++) direction[p] = design.fixed[j]![p]!;
      for (let d = 0; d < dimensions; d++) direction[coefficients + d] = design.random[j]![d]! * u[d]!;
      for (let p = 0; p < size; p++) {
        total[p]! += one[1]! * direction[p]!;
        for (let q = 0; q <= p; q++) curvature[p * size + q]! += one[2]! * direction[p]! * direction[q]!;
      }
    }
    weight *= Math.exp(value - top);
    if (!(weight > 0)) continue;
    sum += weight;
    for (let p = 0; p < size; p++) {
      sums[p]! += weight * total[p]!;
      for (let q = 0; q <= p; q++) {
        squares[p * size + q]! += weight * (curvature[p * size + q]! + total[p]! * total[q]!);
      }
    }
  }
  result.logLikelihood = top + logVolume + Math.log(sum);
  for (let p = 0; p < size; p++) gradient[p] = sums[p]! / sum;
  for (let p = 0; p < size; p++) {
    for (let q = 0; q <= p; q++) {
      const value = squares[p * size + q]! / sum - gradient[p]! * gradient[q]!;
      hessian[p * size + q] = value;
      hessian[q * size + p] = value;
    }
  }
}

/** For a lower Cholesky factor of a precision matrix, the matrix that turns unit deviates into its scatter. */
function inverseTransposed(factor: Float64Array, dimensions: number): Float64Array {
  if (dimensions === 1) return Float64Array.of(1 / factor[0]!);
  const [a, , b, c] = factor as unknown as [number, number, number, number];
  return Float64Array.of(1 / a, -b / (a * c), 0, 1 / c);
}

/** Room for {@link integrateStudy} to write to. */
export function studyIntegral(size: number): StudyIntegral {
  return { logLikelihood: 0, gradient: new Float64Array(size), hessian: new Float64Array(size * size) };
}
