import {
  normalQuantile,
  normalUpperTail,
  studentTQuantile,
  studentTUpperTail,
} from '../../numerics/distributions.ts';
import { directContrasts, poolDirect } from './directEvidence.ts';
import type { NetworkComparison, NetworkEffect } from './networkResult.ts';
import type { NetworkSystem } from './networkSystem.ts';
import { type NetworkSolution, varianceOfDifference } from './solveNetwork.ts';

/** Standard errors are multiplied by `inflation`, margins are `quantile` standard errors. */
export interface MarginRule {
  readonly inflation: number;
  readonly quantile: number;
  /** Of Student's t, whose quantile it is; absent for the normal distribution. */
  readonly degreesOfFreedom?: number;
}

/** Margins of the normal distribution. */
export const normalMargin = (level: number): MarginRule => ({
  inflation: 1,
  quantile: -normalQuantile((1 - level) / 2),
});

/** A share of direct evidence this near to 1 leaves nothing to tell the indirect evidence by. */
const nothingElse = 1e-9;

/** A value and its variance as an effect with its interval and the p value of the same test. */
export function effectOf(
  value: number,
  variance: number,
  { inflation, quantile, degreesOfFreedom }: MarginRule,
  level: number,
): NetworkEffect {
  const standardError = inflation * Math.sqrt(variance);
  const margin = quantile * standardError;
  const ratio = Math.abs(value) / standardError;
  const tail =
    degreesOfFreedom === undefined ? normalUpperTail(ratio) : studentTUpperTail(ratio, degreesOfFreedom);
  return {
    value: value + 0,
    standardError,
    interval: { lower: value - margin, upper: value + margin, level },
    pValue: 2 * tail,
  };
}

/**
 * For every pair: the network's answer, and how much of it is direct.
 *
 * Direct: inverse-variance mean of the studies with both arms, at the network's between-study variance. Share of direct
 * evidence: `var(network) / var(direct)`. Indirect, taken back out of the network:
 * `1/var(indirect) = 1/var(network) - 1/var(direct)`, and the value so that the precision-weighted mean of the two is
 * the network's. With two-arm studies only this is exactly what the other studies say; with multi-arm studies it
 * is an approximation, and splitNodes refits.
 *
 * Sources: Dias S, Welton NJ, Caldwell DM, Ades AE, Stat Med 2010;29:932-944, section 3 (back-calculation); König J,
 * Krahn U, Binder H, Stat Med 2013;32:5414-5429 (share of direct evidence).
 */
export function compareTreatments(
  system: NetworkSystem,
  solution: NetworkSolution,
  {
    margin,
    level,
    predicts,
  }: { readonly margin: MarginRule; readonly level: number; readonly predicts: boolean },
): readonly NetworkComparison[] {
  const { treatments, degreesOfFreedom } = system;
  const { effects, covariance, betweenStudyVariance } = solution;
  const count = treatments.length;
  const predictionQuantile = predicts ? -studentTQuantile((1 - level) / 2, degreesOfFreedom - 1) : 0;
  const comparisons: NetworkComparison[] = [];
  for (let i = 0; i < count; i++) {
    for (let j = i + 1; j < count; j++) {
      const value = effects[i]! - effects[j]!;
      const variance = varianceOfDifference(covariance, count, i, j);
      const own = directContrasts(system, i, j, betweenStudyVariance);
      const direct = poolDirect(own);
      const share = direct === undefined ? 0 : Math.min(1, variance / direct.variance);
      const network = effectOf(value, variance, margin, level);
      const reach = predictionQuantile * Math.sqrt(network.standardError ** 2 + betweenStudyVariance);
      comparisons.push({
        treatment: treatments[i]!,
        comparator: treatments[j]!,
        network,
        prediction: predicts ? { lower: value - reach, upper: value + reach, level } : undefined,
        direct: direct && effectOf(direct.value, direct.variance, margin, level),
        directStudies: own.length,
        indirect: indirectEffect(value, variance, direct, share, margin, level),
        directShare: share,
      });
    }
  }
  return comparisons;
}

function indirectEffect(
  value: number,
  variance: number,
  direct: { readonly value: number; readonly variance: number } | undefined,
  share: number,
  margin: MarginRule,
  level: number,
): NetworkEffect | undefined {
  if (direct === undefined) return effectOf(value, variance, margin, level);
  if (share > 1 - nothingElse) return undefined;
  const precision = (1 - share) / variance;
  return effectOf((value - share * direct.value) / (1 - share), 1 / precision, margin, level);
}
