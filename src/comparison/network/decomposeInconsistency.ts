import { chiSquareUpperTail } from '../../numerics/distributions.ts';
import type { NetworkOptions } from './networkOptions.ts';
import type { NetworkPart } from './networkResult.ts';
import { connectedParts, networkSystem } from './networkSystem.ts';
import { type NetworkVarianceEstimator, networkVariance } from './networkVariance.ts';
import { solveNetwork } from './solveNetwork.ts';

/** A chi-square statistic with what it is judged by; no p-value without degrees of freedom. */
export interface QPart {
  readonly q: number;
  readonly degreesOfFreedom: number;
  readonly pValue: number | undefined;
}

/** Scatter within and between designs; a design is a set of treatments compared in one study. */
export interface InconsistencyDecomposition {
  readonly total: QPart;
  /** Studies of one design against each other. */
  readonly within: QPart;
  /** Designs against each other: inconsistency. */
  readonly between: QPart;
  /** The same allowing studies of one design to differ, at the between-study variance within designs. */
  readonly betweenRandomEffects: QPart & { readonly betweenStudyVariance: number | undefined };
  readonly designs: readonly (QPart & { readonly treatments: readonly string[]; readonly studies: number })[];
}

/**
 * Do the studies disagree with others of their own kind, or do kinds of comparison disagree with each other?
 *
 * `Q = Σ Q_within(design) + Q_between`. Q within a design is the scatter around that design's own common-effect mean;
 * what is left of the network's Q is inconsistency between designs (the full design-by-treatment interaction). With
 * random effects Q between is computed again at the between-study variance estimated within designs.
 *
 * @see Krahn U, Binder H, König J. BMC Med Res Methodol 2013;13:35. Higgins JPT, Jackson D, Barrett JK, Lu G, Ades AE,
 *   White IR. Res Synth Methods 2012;3:98-110 (design-by-treatment interaction).
 * @example
 * decomposeInconsistency(network.parts[0]!).between.pValue
 */
export function decomposeInconsistency(
  part: NetworkPart,
  options: Pick<NetworkOptions, 'betweenStudyVariance'> = {},
): InconsistencyDecomposition {
  const estimator: NetworkVarianceEstimator = options.betweenStudyVariance ?? 'restricted-maximum-likelihood';
  const groups = new Map<string, (typeof part.studies)[number][]>();
  for (const study of part.studies) {
    const key = JSON.stringify([...study.treatments].sort());
    groups.set(key, [...(groups.get(key) ?? []), study]);
  }
  const designs = [...groups.values()].map((studies) => {
    const own = part.treatments.filter((treatment) => studies[0]!.treatments.includes(treatment));
    const [group] = connectedParts(studies, own);
    return { studies, system: networkSystem(studies, group!), treatments: own };
  });
  const solveAll = (variance: number) => {
    const solved = designs.map(({ system }) => solveNetwork(system, variance));
    const sum = (value: (each: (typeof solved)[number]) => number): number =>
      solved.reduce((total, each) => total + value(each), 0);
    return {
      solved,
      q: sum(({ q }) => q),
      momentScale: sum(({ momentScale }) => momentScale),
      slope: sum(({ slope }) => slope),
      restrictedSlope: sum(({ restrictedSlope }) => restrictedSlope),
      logLikelihood: sum(({ logLikelihood }) => logLikelihood),
      restrictedLogLikelihood: sum(({ restrictedLogLikelihood }) => restrictedLogLikelihood),
    };
  };
  const atZero = solveAll(0);
  const withinFreedom = designs.reduce((total, { system }) => total + system.degreesOfFreedom, 0);
  const { q, degreesOfFreedom } = part.heterogeneity;
  const betweenFreedom = degreesOfFreedom - withinFreedom;
  const variance = networkVariance({ degreesOfFreedom: withinFreedom, solve: solveAll }, estimator);
  const used = variance ?? 0;
  return {
    total: qPart(q, degreesOfFreedom),
    within: qPart(atZero.q, withinFreedom),
    between: qPart(q - atZero.q, betweenFreedom),
    betweenRandomEffects: {
      ...qPart(solveNetwork(part.system, used).q - solveAll(used).q, betweenFreedom),
      betweenStudyVariance: variance,
    },
    designs: designs.map(({ studies, system, treatments }, i) => ({
      ...qPart(atZero.solved[i]!.q, system.degreesOfFreedom),
      treatments,
      studies: studies.length,
    })),
  };
}

/** Rounding may leave a hair of scatter where there can be none. */
function qPart(q: number, degreesOfFreedom: number): QPart {
  return degreesOfFreedom > 0
    ? { q: Math.max(0, q), degreesOfFreedom, pValue: chiSquareUpperTail(Math.max(0, q), degreesOfFreedom) }
    : { q: 0, degreesOfFreedom: 0, pValue: undefined };
}
