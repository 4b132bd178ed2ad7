import { chiSquareUpperTail, studentTQuantile } from '../../numerics/distributions.ts';
import { compareTreatments, type MarginRule, normalMargin } from './compareTreatments.ts';
import { networkCautions } from './networkCautions.ts';
import {
  type NetworkOptions,
  networkMethodsSentence,
  type ResolvedNetworkOptions,
  resolveNetworkOptions,
} from './networkOptions.ts';
import type { NetworkPart, NetworkResult } from './networkResult.ts';
import { checkNetworkStudy, type NetworkStudy } from './networkStudy.ts';
import { connectedParts, networkSystem } from './networkSystem.ts';
import { networkVariance, networkVarianceInterval, varianceProblem } from './networkVariance.ts';
import { solveNetwork } from './solveNetwork.ts';

/**
 * How does every treatment compare with every other, using all studies at once?
 *
 * Generalised least squares on the studies' contrasts, `V = S + τ² P` (see {@link solveNetwork}), one between-study
 * variance for all comparisons. Treatments that no chain of studies links are analysed in parts of their own: between
 * parts there is no estimate, and a caution says so. Prediction: `d ± t sqrt(var(d) + τ²)` with one degree of freedom
 * fewer than Q has, which for two treatments is the usual k − 2.
 *
 * @param studies contrasts with their covariance, all on one scale
 * @throws RangeError for an unknown option, studies on different scales or an impossible study, naming what was received
 * @see Rücker G, Schwarzer G. Stat Med 2014;33:4353-4369. Salanti G. Res Synth Methods 2012;3:80-97 (assumptions).
 * @example
 * const { studies, leftOut } = networkFromCounts(selection.arms);
 * fitNetwork(studies, { leftOut }).parts[0]?.comparisons[0]?.network.value
 */
export function fitNetwork(studies: readonly NetworkStudy[], options: NetworkOptions = {}): NetworkResult {
  const resolved = resolveNetworkOptions(options);
  const scale = studies[0]?.scale ?? 'plain';
  for (const study of studies) {
    checkNetworkStudy(study);
    if (study.scale !== scale)
      throw new RangeError(
        `studies of one network must share a scale: expected ${scale}, received ${study.scale} for ${study.label}`,
      );
  }
  const repeated = studies.find(
    (study, at) => studies.findIndex((other) => other.study === study.study) !== at,
  );
  if (repeated !== undefined)
    throw new RangeError(
      `studies of a network must differ: ${repeated.study} stands in it twice (give a study with several arms as one)`,
    );
  const treatments = orderedTreatments(studies, options.order ?? []);
  const parts = connectedParts(studies, treatments)
    .map((group) => {
      const own = new Set(group);
      return fitPart(
        studies.filter((study) => own.has(study.treatments[0]!)),
        group,
        resolved,
      );
    })
    .sort((a, b) => b.treatments.length - a.treatments.length || b.studies.length - a.studies.length);
  const leftOut = options.leftOut ?? [];
  return {
    kind: 'network-result',
    scale,
    options: resolved,
    treatments,
    parts,
    leftOut,
    cautions: networkCautions(parts, leftOut, resolved),
    methodsSentence: networkMethodsSentence(resolved, {
      studies: studies.length,
      treatments: treatments.length,
      parts: parts.length,
      scale,
    }),
  };
}

/** Treatments named first in their order, the others alphabetically (by code unit, so the same everywhere). */
function orderedTreatments(studies: readonly NetworkStudy[], order: readonly string[]): readonly string[] {
  const present = new Set(studies.flatMap(({ treatments }) => treatments));
  const named = order.filter((treatment) => present.has(treatment));
  const rest = [...present].filter((treatment) => !named.includes(treatment));
  return [...named, ...rest.sort((a, b) => (a < b ? -1 : 1))];
}

function fitPart(
  studies: readonly NetworkStudy[],
  treatments: readonly string[],
  options: ResolvedNetworkOptions,
): NetworkPart {
  const system = networkSystem(studies, treatments);
  checkVariances(studies);
  const problem = varianceProblem(system);
  const { degreesOfFreedom } = system;
  const betweenStudyVariance = networkVariance(problem, options.betweenStudyVariance);
  const atZero = solveNetwork(system, 0);
  const q = Math.max(0, atZero.q);
  const inWeights = options.model === 'common-effect' ? 0 : (betweenStudyVariance ?? 0);
  const solution = inWeights === 0 ? atZero : solveNetwork(system, inWeights);
  return {
    treatments,
    studies,
    contrasts: system.contrasts,
    heterogeneity: {
      q,
      degreesOfFreedom,
      pValue: degreesOfFreedom > 0 ? chiSquareUpperTail(q, degreesOfFreedom) : undefined,
      betweenStudyVariance,
      betweenStudyVarianceInterval: networkVarianceInterval(problem, options.level),
      iSquared: degreesOfFreedom > 0 ? (q > degreesOfFreedom ? (q - degreesOfFreedom) / q : 0) : undefined,
    },
    comparisons: compareTreatments(system, solution, {
      margin: marginRule(options, solution.q, degreesOfFreedom),
      level: options.level,
      predicts: options.model === 'random-effects' && degreesOfFreedom >= 2,
    }),
    system,
    solution,
  };
}

/** Weights this many times apart would lose the smaller ones in rounding, and a link with them. */
const widestRange = 1e12;

function checkVariances(studies: readonly NetworkStudy[]): void {
  const variances = studies.flatMap(({ covariance }) => covariance.map((row, i) => row[i]!));
  const [least, most] = [Math.min(...variances), Math.max(...variances)];
  if (most > widestRange * least)
    throw new RangeError(
      `variances in one network must lie within a factor of ${widestRange} of each other, received ${least} and ${most}`,
    );
}

/** How a standard error becomes an interval: normal, or by the scatter where there is any. */
export function marginRule(
  { interval, level }: ResolvedNetworkOptions,
  q: number,
  degreesOfFreedom: number,
): MarginRule {
  if (interval !== 'wald' && degreesOfFreedom > 0 && q > 0) {
    const inflation = Math.sqrt(q / degreesOfFreedom);
    return {
      inflation: interval === 'truncated-hartung-knapp' ? Math.max(1, inflation) : inflation,
      quantile: -studentTQuantile((1 - level) / 2, degreesOfFreedom),
      degreesOfFreedom,
    };
  }
  return normalMargin(level);
}
