import { fitMixedModel, type MixedFit, type MixedObjective } from './mixedModel.ts';
import { choleskyOfNegative, solveCholesky } from './newtonMaximum.ts';

/** A fit, with the quadrature it took. */
export interface SettledFit {
  /** Undefined when there was no maximum at any number of points. */
  readonly fit: MixedFit | undefined;
  /** Points per dimension that the fit rests on. */
  readonly points: number;
  /** False when even the largest number of points might still move the estimates visibly. */
  readonly settled: boolean;
}

/** Estimates that the next rule would move by less than this share of their standard error have settled. */
const noMovement = 1e-7;
/** A movement that would show in print. */
const visibleMovement = 1e-3;

/**
 * Fits with as many quadrature points as it takes.
 *
 * With few events and much variation between studies the integrands are lopsided, and a rule that is exact to
 * rounding elsewhere can be off in the second digit. After each fit the next larger rule says how far it would
 * move the estimates; until that is nothing, the model is fitted again with it.
 *
 * @param objectiveAt the likelihood with a number of points
 * @param levels numbers of points to try, ascending; one alone is used as it is
 */
export function fitSettledModel(
  objectiveAt: (points: number) => MixedObjective,
  levels: readonly number[],
  start: readonly number[],
  held: readonly boolean[],
): SettledFit {
  let last: SettledFit = { fit: undefined, points: levels.at(-1)!, settled: true };
  for (const [index, points] of levels.entries()) {
    const fit = fitMixedModel(objectiveAt(points), start, held);
    const next = levels[index + 1];
    if (next === undefined) {
      const before = last.fit;
      // With one rule asked for by name there is nothing to compare it with.
      const settled =
        levels.length === 1 ||
        !fit ||
        (before !== undefined && movement(objectiveAt(points), before) < visibleMovement);
      return { fit, points, settled };
    }
    if (!fit) continue;
    last = { fit, points, settled: true };
    if (movement(objectiveAt(next), fit) < noMovement) return last;
  }
  return last;
}

/** The Newton step a likelihood would take from a fit, in standard errors; the largest over the parameters. */
function movement(objective: MixedObjective, { parameters, covariance, atZero }: MixedFit): number {
  const size = parameters.length;
  const gradient = new Float64Array(size);
  const hessian = new Float64Array(size * size);
  objective.evaluate(parameters, atZero, gradient, hessian);
  const free = [...parameters.keys()].filter(
    (index) => index < objective.coefficients || !atZero[index - objective.coefficients],
  );
  const curvature = new Float64Array(free.length ** 2);
  for (const [i, row] of free.entries()) {
    for (const [j, column] of free.entries()) curvature[i * free.length + j] = hessian[row * size + column]!;
  }
  const factor = choleskyOfNegative(curvature, free.length, 0);
  if (!factor) return Infinity;
  const step = solveCholesky(
    factor,
    free.map((index) => gradient[index]!),
  );
  let largest = 0;
  for (const [i, index] of free.entries()) {
    largest = Math.max(largest, Math.abs(step[i]!) / Math.sqrt(covariance[index * (size + 1)]!));
  }
  return largest;
}
