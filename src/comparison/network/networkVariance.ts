import { chiSquareQuantile } from '../../numerics/distributions.ts';
import type { Interval } from '../../numerics/interval.ts';
import { findRoot } from '../../numerics/rootFinding.ts';
import type { NetworkSystem } from './networkSystem.ts';
import { type NetworkSolution, solveNetwork } from './solveNetwork.ts';

/** Ways to estimate the one between-study variance of a network. */
export const networkVarianceEstimators = [
  'dersimonian-laird',
  'paule-mandel',
  'maximum-likelihood',
  'restricted-maximum-likelihood',
] as const;
export type NetworkVarianceEstimator = (typeof networkVarianceEstimators)[number];

/** Anything that solves the network at a between-study variance: the network itself, or one with a term added. */
export interface VarianceProblem {
  readonly degreesOfFreedom: number;
  readonly solve: (
    betweenStudyVariance: number,
  ) => Pick<
    NetworkSolution,
    'q' | 'momentScale' | 'slope' | 'restrictedSlope' | 'logLikelihood' | 'restrictedLogLikelihood'
  >;
}

export const varianceProblem = (system: NetworkSystem): VarianceProblem => ({
  degreesOfFreedom: system.degreesOfFreedom,
  solve: (variance) => solveNetwork(system, variance),
});

/** Steps of the grid, each this much larger than the one before: down to 1e-5 of its top. */
const gridPoints = 24;
const gridRatio = 1.6;
const smallestGrowth = 1e-10;

/**
 * How much do studies of one comparison differ beyond chance, over the whole network?
 *
 * - DerSimonian-Laird: `τ² = max(0, (Q - df) / (tr(V⁻¹P) - tr((XᵀV⁻¹X)⁻¹ XᵀV⁻¹PV⁻¹X)))` at the sampling variances.
 * - Paule-Mandel: the τ² at which the generalised Q equals its degrees of freedom.
 * - (Restricted) maximum likelihood: the highest peak; the slope is followed over a grid and each crossing solved.
 *
 * Undefined without degrees of freedom: nothing then tells scatter from difference.
 *
 * Sources: Jackson D, White IR, Riley RD, Stat Med 2012;31:3805-3820 (generalised method of moments; here with one
 * variance); Rücker G, Schwarzer G, Stat Med 2014;33:4353-4369; DerSimonian R, Kacker R, Contemp Clin Trials
 * 2007;28:105-114 (Paule-Mandel); Harville DA, J Am Stat Assoc 1977;72:320-338 (restricted likelihood).
 */
export function networkVariance(
  problem: VarianceProblem,
  estimator: NetworkVarianceEstimator,
): number | undefined {
  const { degreesOfFreedom, solve } = problem;
  if (degreesOfFreedom < 1) return undefined;
  const atZero = solve(0);
  if (estimator === 'dersimonian-laird')
    return Math.max(0, (atZero.q - degreesOfFreedom) / atZero.momentScale);
  if (estimator === 'paule-mandel') return whereQIs(problem, degreesOfFreedom);
  const restricted = estimator === 'restricted-maximum-likelihood';
  const slopeOf = (at: ReturnType<typeof solve>): number => (restricted ? at.restrictedSlope : at.slope);
  const heightOf = (at: ReturnType<typeof solve>): number =>
    restricted ? at.restrictedLogLikelihood : at.logLikelihood;
  const slope = (variance: number): number => slopeOf(solve(variance));
  // The grid runs over whole powers of one ratio, so that problems alike can share their solutions. Far enough out the
  // likelihood only falls.
  const most = Math.max(1e-6, ((atZero.q + degreesOfFreedom) * 4) / atZero.momentScale);
  let last = Math.ceil(Math.log(most) / Math.log(gridRatio));
  for (let step = 0; step < 400 && slope(gridRatio ** last) > 0; step++) last += 3;
  const peaks: { variance: number; height: number }[] = [];
  if (slopeOf(atZero) <= 0) peaks.push({ variance: 0, height: heightOf(atZero) });
  let lower = 0;
  let lowerSlope = slopeOf(atZero);
  for (let power = last - gridPoints; power <= last; power++) {
    const upper = gridRatio ** power;
    const upperSlope = slope(upper);
    if (lowerSlope > 0 && upperSlope <= 0) {
      const { root } = findRoot(slope, lower, upper);
      peaks.push({ variance: root, height: heightOf(solve(root)) });
    }
    lower = upper;
    lowerSlope = upperSlope;
  }
  peaks.sort((a, b) => b.height - a.height || a.variance - b.variance);
  return peaks[0]?.variance ?? 0;
}

/**
 * Which between-study variances are compatible with the scatter seen?
 *
 * Limits where the generalised Q equals the chi-square quantiles of its degrees of freedom; 0 where even no variance
 * gives less. Undefined when Q is so small that no variance fits.
 *
 * Source: Viechtbauer W, Stat Med 2007;26:37-52 (Q-profile); Jackson D, Turner R, Rhodes K, Viechtbauer W, BMC Med Res
 * Methodol 2014;14:103 (for regression models, of which a network is one).
 */
export function networkVarianceInterval(problem: VarianceProblem, level: number): Interval | undefined {
  const { degreesOfFreedom, solve } = problem;
  if (degreesOfFreedom < 1) return undefined;
  const high = chiSquareQuantile((1 + level) / 2, degreesOfFreedom);
  const low = chiSquareQuantile((1 - level) / 2, degreesOfFreedom);
  if (solve(0).q < low) return undefined;
  return { lower: whereQIs(problem, high), upper: whereQIs(problem, low), level };
}

/** The variance at which the falling function Q reaches a target; 0 where it starts below it. */
function whereQIs({ solve }: VarianceProblem, target: number): number {
  const atZero = solve(0);
  if (atZero.q <= target) return 0;
  let upper = Math.max(smallestGrowth, (2 * atZero.q) / atZero.momentScale);
  for (let step = 0; step < 200 && solve(upper).q > target; step++) upper *= 4;
  return findRoot((variance) => target - solve(variance).q, 0, upper).root;
}
