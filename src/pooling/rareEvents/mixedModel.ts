import { integrateStudy, type MixedDesign, studyIntegral } from './integratedLikelihood.ts';
import type { LikelihoodTerm } from './likelihoodTerms.ts';
import { covarianceOf, newtonMaximum } from './newtonMaximum.ts';

/** A log-likelihood over coefficients β and between-study deviations s, even in each s. */
export interface MixedObjective {
  readonly coefficients: number;
  readonly deviations: number;
  /** Value at `[β..., s...]`; writes gradient and Hessian. `atZero[d]` says that `s_d` is held at zero. */
  evaluate(
    parameters: Float64Array,
    atZero: readonly boolean[],
    gradient: Float64Array,
    hessian: Float64Array,
  ): number;
}

/** The highest maximum found. */
export interface MixedFit {
  readonly parameters: Float64Array;
  readonly logLikelihood: number;
  /** Covariance over `[β..., s...]`, zero in the rows of deviations at zero. */
  readonly covariance: Float64Array;
  /** Which deviations are estimated as zero. */
  readonly atZero: readonly boolean[];
  /** A second, lower maximum was met at a deviation above zero. */
  readonly severalMaxima: boolean;
}

const largestCoefficient = 60;
const largestDeviation = 25;
const deviationsTried = [0.1, 0.7, 4];
/** Log-likelihoods closer than this are taken as equal, and the simpler model is kept. */
const noDifference = 1e-9;
/** Curvatures of a deviation at zero below this share of the largest are taken as none. */
const noCurvature = 1e-9;

/**
 * Where is a likelihood with between-study deviations highest, on the boundary or inside?
 *
 * Every combination of deviations at zero and above is climbed by Newton steps, from several starts. A
 * deviation at zero is a maximum only if the likelihood does not curve upwards there. The highest maximum
 * wins, and with equal heights the one with more deviations at zero; but if any climb came higher without
 * reaching a maximum, the likelihood rises without end and there is no answer.
 *
 * @param held deviations to hold at zero whatever the data say (a common effect)
 * @returns undefined when no climb ended at a maximum with a covariance
 */
export function fitMixedModel(
  objective: MixedObjective,
  start: readonly number[],
  held: readonly boolean[],
): MixedFit | undefined {
  const { coefficients, deviations } = objective;
  const size = coefficients + deviations;
  const found: MixedFit[] = [];
  let highestWithoutEnd = -Infinity;
  for (const atZero of combinations(held)) {
    const free = Array.from({ length: size }, (_, index) => index).filter(
      (index) => index < coefficients || !atZero[index - coefficients],
    );
    const parameters = new Float64Array(size);
    const gradient = new Float64Array(size);
    const hessian = new Float64Array(size * size);
    const evaluate = (x: Float64Array, g: Float64Array, h: Float64Array): number => {
      parameters.fill(0);
      for (const [i, index] of free.entries()) {
        const limit = index < coefficients ? largestCoefficient : largestDeviation;
        if (!(Math.abs(x[i]!) <= limit)) return Number.NaN;
        parameters[index] = x[i]!;
      }
      const value = objective.evaluate(parameters, atZero, gradient, hessian);
      for (const [i, row] of free.entries()) {
        g[i] = gradient[row]!;
        for (const [j, column] of free.entries()) h[i * free.length + j] = hessian[row * size + column]!;
      }
      return value;
    };
    const starts = free.length === coefficients ? [0] : deviationsTried;
    for (const deviation of starts) {
      const from = free.map((index) => (index < coefficients ? start[index]! : deviation));
      const search = newtonMaximum(evaluate, from);
      if (!search.converged) {
        if (search.value > highestWithoutEnd) highestWithoutEnd = search.value;
        continue;
      }
      const covariance = covarianceOf(search.hessian, free.length, [...free.keys()]);
      if (!covariance) continue;
      const whole = new Float64Array(size * size);
      const at = new Float64Array(size);
      for (const [i, row] of free.entries()) {
        // The likelihood does not change with the sign of a deviation.
        at[row] = row < coefficients ? search.at[i]! : Math.abs(search.at[i]!);
        for (const [j, column] of free.entries()) {
          const sign =
            (row >= coefficients && search.at[i]! < 0) !== (column >= coefficients && search.at[j]! < 0);
          whole[row * size + column] = (sign ? -1 : 1) * covariance[i * free.length + j]!;
        }
      }
      if (curvesUpwards(objective, at, atZero, held)) continue;
      found.push({
        parameters: at,
        logLikelihood: search.value,
        covariance: whole,
        atZero,
        severalMaxima: false,
      });
    }
  }
  // Combinations run from the simplest up, so that the first of equals is the one to keep.
  let best: MixedFit | undefined;
  for (const fit of found) if (!best || fit.logLikelihood > best.logLikelihood + noDifference) best = fit;
  if (!best || highestWithoutEnd > best.logLikelihood + 1e-6) return undefined;
  const top = best;
  const other = found.some(
    (fit) =>
      fit.logLikelihood < top.logLikelihood - noDifference &&
      fit.atZero.every((zero, d) => zero === held[d] && (zero || fit.parameters[coefficients + d]! > 1e-3)),
  );
  return { ...best, severalMaxima: other };
}

/** Would the likelihood rise if a deviation found at zero were let go? */
function curvesUpwards(
  objective: MixedObjective,
  at: Float64Array,
  atZero: readonly boolean[],
  held: readonly boolean[],
): boolean {
  if (atZero.every((zero, d) => zero === held[d])) return false;
  const { coefficients, deviations } = objective;
  const size = coefficients + deviations;
  const hessian = new Float64Array(size * size);
  objective.evaluate(at, held, new Float64Array(size), hessian);
  let largest = 0;
  for (const value of hessian) largest = Math.max(largest, Math.abs(value));
  return atZero.some((zero, d) => {
    const diagonal = (coefficients + d) * (size + 1);
    return zero && !held[d] && hessian[diagonal]! > noCurvature * largest;
  });
}

/** All choices of deviations at zero, those held always among them, the ones with most at zero first. */
function combinations(held: readonly boolean[]): (readonly boolean[])[] {
  const all: boolean[][] = [];
  for (let bits = 0; bits < 2 ** held.length; bits++) {
    const choice = held.map((_, d) => Math.floor(bits / 2 ** d) % 2 === 0);
    if (choice.every((zero, d) => zero || !held[d])) all.push(choice);
  }
  const zeros = (choice: readonly boolean[]): number => choice.filter(Boolean).length;
  return all.sort((a, b) => zeros(b) - zeros(a));
}

/** The sum over studies of their integrated likelihoods, as something to climb. */
export function mixedObjective(
  studies: readonly (readonly LikelihoodTerm[])[],
  design: MixedDesign,
  points: number,
): MixedObjective {
  const coefficients = design.fixed[0]!.length;
  const deviations = design.random[0]!.length;
  const size = coefficients + deviations;
  const modes = studies.map(() => new Float64Array(deviations));
  const study = studyIntegral(size);
  return {
    coefficients,
    deviations,
    evaluate(parameters, atZero, gradient, hessian) {
      const perDimension = atZero.map((zero) => (zero ? 1 : points));
      let value = 0;
      gradient.fill(0);
      hessian.fill(0);
      studies.forEach((terms, i) => {
        integrateStudy(terms, design, parameters, perDimension, modes[i]!, study);
        value += study.logLikelihood;
        for (let p = 0; p < size; p++) gradient[p]! += study.gradient[p]!;
        for (let p = 0; p < size * size; p++) hessian[p]! += study.hessian[p]!;
      });
      return value;
    },
  };
}
