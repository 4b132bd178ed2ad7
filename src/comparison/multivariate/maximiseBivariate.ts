import { cholesky, choleskySolve } from '../../numerics/cholesky.ts';
import {
  type BetweenStudies,
  type BivariateData,
  type BivariatePoint,
  bivariatePoint,
} from './bivariateLikelihood.ts';

type Root = readonly [number, number, number];

const covarianceOf = ([a, b, c]: Root): BetweenStudies => [a * a, a * b, b * b + c * c];

/**
 * Which covariance between studies makes the likelihood highest?
 *
 * Scoring steps, damped until they climb, on the lower-triangular root of the covariance, so that it is never
 * negative; from starts with negative, no and positive correlation.
 */
export function maximiseBivariate(
  data: BivariateData,
  spread: readonly [number, number],
  restricted: boolean,
): { readonly point: BivariatePoint; readonly converged: boolean } {
  let best: { point: BivariatePoint; converged: boolean } | undefined;
  for (const share of [0.05, 0.5]) {
    for (const correlation of [-0.6, 0, 0.6]) {
      const [one, two] = [Math.sqrt(share * spread[0]), Math.sqrt(share * spread[1])];
      const found = climb(data, [one, correlation * two, Math.sqrt(1 - correlation ** 2) * two], restricted);
      if (found && (!best || found.point.logLikelihood > best.point.logLikelihood + 1e-10)) best = found;
    }
  }
  if (!best) throw new RangeError('the covariance of the outcomes must be positive definite');
  return best;
}

function climb(
  data: BivariateData,
  start: Root,
  restricted: boolean,
): { point: BivariatePoint; converged: boolean } | undefined {
  let root = start;
  let point = bivariatePoint(data, covarianceOf(root), restricted);
  if (!point) return undefined;
  let damping = 1e-3;
  for (let iteration = 0; iteration < 2000; iteration++) {
    const { slope, curvature } = inRoot(point, root);
    const scale = [0, 4, 8].map((place) => curvature[place]! || 1e-12);
    const steep = Math.max(...slope.map((value, k) => Math.abs(value) / Math.sqrt(scale[k]!)));
    if (steep < 1e-11) return { point, converged: true };
    const damped = Float64Array.from(curvature, (entry, place) =>
      place % 4 === 0 ? entry + damping * (entry + 1e-9) : entry,
    );
    const factor = cholesky(damped, 3);
    const step = factor && choleskySolve(factor, slope);
    const next: Root | undefined = step && [root[0] + step[0]!, root[1] + step[1]!, root[2] + step[2]!];
    const candidate = next && bivariatePoint(data, covarianceOf(next), restricted);
    if (step && next && candidate && candidate.logLikelihood >= point.logLikelihood) {
      const gain = candidate.logLikelihood - point.logLikelihood;
      const still =
        gain === 0 && step.every((move, k) => Math.abs(move) <= 1e-14 * Math.abs(root[k]!) + 1e-16);
      root = next;
      point = candidate;
      if (still) return { point, converged: true };
      damping = Math.max(1e-12, damping / 5);
    } else {
      damping *= 4;
      // No step of any length climbs any more: the summit to rounding.
      if (damping > 1e12) return { point, converged: steep < 1e-5 };
    }
  }
  return { point, converged: false };
}

/** Slope and metric in the root's entries, through the chain rule. */
function inRoot(
  { score, metric }: BivariatePoint,
  [a, b, c]: Root,
): { slope: Float64Array; curvature: Float64Array } {
  // Rows: first variance, covariance, second variance; columns: a, b, c.
  const chain = [
    [2 * a, 0, 0],
    [b, a, 0],
    [0, 2 * b, 2 * c],
  ];
  const slope = new Float64Array(3);
  const curvature = new Float64Array(9);
  for (let k = 0; k < 3; k++) {
    for (let m = 0; m < 3; m++) slope[m]! += score[k]! * chain[k]![m]!;
  }
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      for (let k = 0; k < 3; k++) {
        for (let m = 0; m < 3; m++)
          curvature[i * 3 + j]! += chain[k]![i]! * metric[k * 3 + m]! * chain[m]![j]!;
      }
    }
  }
  // At a correlation of one the slopes do not vanish; how the root bends then decides the curvature.
  const [one, cross, two] = score;
  if (one <= 0 && two <= 0 && 4 * one * two >= cross * cross) {
    curvature[0]! -= 2 * one;
    curvature[1]! -= cross;
    curvature[3]! -= cross;
    curvature[4]! -= 2 * two;
  }
  curvature[8]! += Math.max(0, -2 * two);
  return { slope, curvature };
}
