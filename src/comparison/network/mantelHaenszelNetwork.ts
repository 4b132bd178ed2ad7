import type { ArmEvents } from '../../extraction/armEvents.ts';
import { chiSquareUpperTail } from '../../numerics/distributions.ts';
import { checkLevel, checkOptionNames } from '../../pooling/optionChecks.ts';
import { effectOf, normalMargin } from './compareTreatments.ts';
import { type CountStudy, countParts } from './countNetwork.ts';
import type { QPart } from './decomposeInconsistency.ts';
import type { NetworkLeftOut, NetworkStudy } from './networkStudy.ts';
import { connectedParts, networkSystem } from './networkSystem.ts';
import type { CountComparison, CountNetworkOptions } from './penalisedNetwork.ts';
import { solveNetwork, varianceOfDifference } from './solveNetwork.ts';

export interface MantelHaenszelPart {
  readonly treatments: readonly string[];
  readonly studies: number;
  readonly comparisons: readonly CountComparison[];
  /** Disagreement between designs. */
  readonly betweenDesigns: QPart;
}

export interface MantelHaenszelNetwork {
  readonly kind: 'mantel-haenszel-network';
  readonly parts: readonly MantelHaenszelPart[];
  readonly leftOut: readonly NetworkLeftOut[];
  readonly methodsSentence: string;
}

/**
 * How do treatments compare, when each study is too sparse to have an odds ratio of its own?
 *
 * Within a design (the same arms) `L_XY = ln(Σ C_XY / Σ C_YX)`, `C_XY = x_X (n_Y - x_Y) / N` over its studies. With
 * more than two arms the pairs are made to agree, `L'_XY = mean over Z of (L_XZ - L_YZ)`, with the covariance of pairs
 * that share an arm. The designs are then combined by generalised least squares under a common effect. Nothing is added
 * to any cell. An arm without events (or with nothing else) in the whole of a design has no odds ratio there and is left
 * out, with its reason.
 *
 * Variances: `Σ(PR)/2(ΣR)² + Σ(PS+QR)/2ΣRΣS + Σ(QS)/2(ΣS)²` for one pair. For pairs X-Y and X-Z, given arm X the two
 * are independent, so `cov = Σ_i (n_X/N) (θ_XY C_YZ + θ_XZ C_ZY) / 2 / (R_XY R_XZ)` is unbiased stratum by stratum.
 *
 * @throws RangeError for an unknown option
 * @see Efthimiou O, Rücker G, Schwarzer G, Higgins JPT, Egger M, Salanti G. Stat Med 2019;38:2992-3012. Greenland S.
 *   Biometrics 1989;45:183-191 (several arms). Robins J, Breslow N, Greenland S. Biometrics 1986;42:311-323.
 * @example
 * mantelHaenszelNetwork(selection.arms).parts[0]?.comparisons[0]?.effect.value
 */
export function mantelHaenszelNetwork(
  arms: readonly ArmEvents[],
  options: CountNetworkOptions = {},
): MantelHaenszelNetwork {
  checkOptionNames(options, ['node', 'level', 'order']);
  const level = checkLevel(options.level ?? 0.95);
  const order = options.order ?? [];
  const { parts, leftOut: silent } = countParts(arms, options.node, order);
  const leftOut: NetworkLeftOut[] = [...silent];
  const designs = new Map<string, CountStudy[]>();
  for (const study of parts.flatMap(({ studies }) => studies)) {
    const sorted = [...study.nodes].sort((a, b) => (a.treatment < b.treatment ? -1 : 1));
    const key = JSON.stringify(sorted.map(({ treatment }) => treatment));
    designs.set(key, [...(designs.get(key) ?? []), { ...study, nodes: sorted }]);
  }
  const pooled = [...designs.values()].flatMap((studies) => {
    const design = designEffects(studies, leftOut);
    return design === undefined ? [] : [{ design, studies: studies.length }];
  });
  const effects = pooled.map(({ design }) => design);
  const present = new Set(effects.flatMap(({ treatments }) => treatments));
  const treatments = [
    ...order.filter((treatment) => present.has(treatment)),
    ...[...present].filter((treatment) => !order.includes(treatment)).sort((a, b) => (a < b ? -1 : 1)),
  ];
  const margin = normalMargin(level);
  return {
    kind: 'mantel-haenszel-network',
    parts: connectedParts(effects, treatments).map((group) => {
      const own = pooled.filter(({ design }) => group.includes(design.treatments[0]!));
      const system = networkSystem(
        own.map(({ design }) => design),
        group,
      );
      const solution = solveNetwork(system, 0);
      const comparisons: CountComparison[] = [];
      for (let i = 0; i < group.length; i++)
        for (let j = i + 1; j < group.length; j++)
          comparisons.push({
            treatment: group[i]!,
            comparator: group[j]!,
            effect: effectOf(
              solution.effects[i]! - solution.effects[j]!,
              varianceOfDifference(solution.covariance, group.length, i, j),
              margin,
              level,
            ),
          });
      const { degreesOfFreedom } = system;
      return {
        treatments: group,
        studies: own.reduce((sum, { studies }) => sum + studies, 0),
        comparisons,
        betweenDesigns:
          degreesOfFreedom > 0
            ? { q: solution.q, degreesOfFreedom, pValue: chiSquareUpperTail(solution.q, degreesOfFreedom) }
            : { q: 0, degreesOfFreedom: 0, pValue: undefined },
      };
    }),
    leftOut,
    methodsSentence:
      'Counts were also pooled by a Mantel-Haenszel network: odds ratios within each set of arms compared, then combined under a common effect, with nothing added to any cell.',
  };
}

/** Odds ratios of one design and their covariance, as if the design were one study. */
function designEffects(studies: readonly CountStudy[], leftOut: NetworkLeftOut[]): NetworkStudy | undefined {
  const names = studies[0]!.nodes.map(({ treatment }) => treatment);
  const leave = (reason: string): void => {
    for (const { study, label } of studies) leftOut.push({ study, label, reason });
  };
  const usable = names
    .map((_, a) => a)
    .filter((a) => {
      const events = studies.reduce((sum, { nodes }) => sum + nodes[a]!.events, 0);
      const total = studies.reduce((sum, { nodes }) => sum + nodes[a]!.total, 0);
      if (events > 0 && events < total) return true;
      leave(
        `${events === 0 ? 'no events' : 'nothing but events'} at ${names[a]} in any study with these arms, so its odds ratio has no finite value`,
      );
      return false;
    });
  if (usable.length < 2) return undefined;
  const arms = studies.map(({ nodes }) => usable.map((a) => nodes[a]!));
  const pairs = pairEstimates(arms);
  if (pairs === undefined) {
    leave(
      'no study with these arms has an event in one and a shoulder without in the other, so there is no odds ratio',
    );
    return undefined;
  }
  const count = usable.length;
  const { values, covariance, indexOf } = pairs;
  // Rows: the consistent contrasts of each further arm less the first, as weights on the pairs.
  const rows = Array.from({ length: count - 1 }, (_, k) => {
    const weights = new Float64Array(values.length);
    const put = (x: number, y: number, weight: number): void => {
      if (x === y) return;
      weights[indexOf(Math.min(x, y), Math.max(x, y))]! += x < y ? weight : -weight;
    };
    for (let z = 0; z < count; z++) {
      put(k + 1, z, 1 / count);
      put(0, z, -1 / count);
    }
    return weights;
  });
  const times = (weights: Float64Array, by: readonly number[]): number =>
    weights.reduce((sum, weight, i) => sum + weight * by[i]!, 0);
  return {
    study: names.join(' + '),
    label: names.join(' + '),
    scale: 'log-odds-ratio',
    treatments: usable.map((a) => names[a]!),
    values: rows.map((weights) => times(weights, values)),
    covariance: rows.map((one) =>
      rows.map((other) => one.reduce((sum, weight, i) => sum + weight * times(other, covariance[i]!), 0)),
    ),
    addedToEachCell: 0,
    rows: [],
  };
}

/** Log odds ratio of every pair of arms (first less second) with the covariance of all pairs. */
function pairEstimates(arms: readonly (readonly { readonly events: number; readonly total: number }[])[]) {
  const count = arms[0]!.length;
  const pairs: [number, number][] = [];
  for (let x = 0; x < count; x++) for (let y = x + 1; y < count; y++) pairs.push([x, y]);
  const whole = arms.map((nodes) => nodes.reduce((sum, { total }) => sum + total, 0));
  const cross = (s: number, x: number, y: number): number =>
    (arms[s]![x]!.events * (arms[s]![y]!.total - arms[s]![y]!.events)) / whole[s]!;
  const sumOver = (value: (s: number) => number): number => arms.reduce((sum, _, s) => sum + value(s), 0);
  const crossSum = Array.from({ length: count }, (_, x) =>
    Array.from({ length: count }, (_, y) => (x === y ? 0 : sumOver((s) => cross(s, x, y)))),
  );
  if (pairs.some(([x, y]) => crossSum[x]![y] === 0 || crossSum[y]![x] === 0)) return undefined;
  const variance = (x: number, y: number): number => {
    const [r, sSum] = [crossSum[x]![y]!, crossSum[y]![x]!];
    return sumOver((s) => {
      const [one, other] = [arms[s]![x]!, arms[s]![y]!];
      const p = (one.events + other.total - other.events) / whole[s]!;
      const q = (one.total - one.events + other.events) / whole[s]!;
      const [ri, si] = [cross(s, x, y), cross(s, y, x)];
      return (p * ri) / (2 * r * r) + (p * si + q * ri) / (2 * r * sSum) + (q * si) / (2 * sSum * sSum);
    });
  };
  // Covariance of ln OR(x against y) and ln OR(x against z).
  const shared = (x: number, y: number, z: number): number => {
    const oddsRatioY = crossSum[x]![y]! / crossSum[y]![x]!;
    const oddsRatioZ = crossSum[x]![z]! / crossSum[z]![x]!;
    const sum = sumOver(
      (s) =>
        ((arms[s]![x]!.total / whole[s]!) * (oddsRatioY * cross(s, y, z) + oddsRatioZ * cross(s, z, y))) / 2,
    );
    return sum / (crossSum[x]![y]! * crossSum[x]![z]!);
  };
  const covariance = pairs.map(([a, b], i) =>
    pairs.map(([c, d], j) => {
      if (i === j) return variance(a, b);
      if (a === c) return shared(a, b, d);
      if (b === d) return shared(b, a, c);
      if (a === d) return -shared(a, b, c);
      if (b === c) return -shared(b, a, d);
      return 0;
    }),
  );
  return {
    values: pairs.map(([x, y]) => Math.log(crossSum[x]![y]! / crossSum[y]![x]!)),
    covariance,
    indexOf: (x: number, y: number): number => pairs.findIndex(([a, b]) => a === x && b === y),
  };
}
