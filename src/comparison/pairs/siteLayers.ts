import type { PooledSite } from '../../extraction/site.ts';
import type { Interval } from '../../numerics/interval.ts';
import { effectBetween } from '../network/leagueTable.ts';
import type { NetworkEffect, NetworkResult } from '../network/networkResult.ts';
import type { CountComparison, PenalisedNetwork } from '../network/penalisedNetwork.ts';
import type { NodeSplit } from '../network/splitNodes.ts';
import type { SitePair, SitePairs } from './comparePairs.ts';
import type { SingleArmContrast } from './singleArmContrast.ts';

/** The layers of evidence on a pair, strongest design first. */
export const evidenceLayers = ['trials', 'comparative', 'network', 'penalised', 'single-arm'] as const;
export type EvidenceLayer = (typeof evidenceLayers)[number];

/** One layer's odds ratio: first site against second. */
export interface LayerAnswer {
  readonly layer: EvidenceLayer;
  /** Studies it rests on; for the network, those of the pair itself. */
  readonly studies: number;
  /** Undefined where the layer has no answer. */
  readonly oddsRatio: { readonly value: number; readonly interval: Interval } | undefined;
}

/** What may be said of a pair; single arms never count towards it. */
export const verdicts = ['established', 'suggested', 'unknown'] as const;
export type Verdict = (typeof verdicts)[number];

export interface PairLayers {
  readonly treatment: PooledSite;
  readonly comparator: PooledSite;
  readonly name: string;
  readonly layers: readonly LayerAnswer[];
  readonly verdict: Verdict;
  /** Whether the first site has fewer or more events, where anything is said. */
  readonly direction: 'fewer' | 'more' | undefined;
  /** One sentence: what the verdict rests on. */
  readonly reason: string;
  /** Direct against indirect; undefined where they cannot be told apart. */
  readonly split: NodeSplit | undefined;
  /** The single arms point the other way, or claim what no comparative layer bears out. */
  readonly singleArmsMislead: boolean;
}

/**
 * What can be said of each pair of sites, layer by layer, and how firmly?
 *
 * - Established: two or more randomised trials, pooled, exclude no difference; the network of all comparative studies
 *   excludes it on the same side; direct and indirect evidence do not conflict (p of the node-split not below 0.05).
 * - Suggested: the trials, the comparative studies or the network exclude no difference, and none of the three excludes
 *   it on the other side, but not all of the above holds.
 * - Unknown: everything else. It means that we cannot tell, not that the sites are alike.
 *
 * Single arms are shown and never count; nor does the network of counts, which takes studies not to differ. The rule is this library's own and is printed with its answers.
 *
 * @example
 * siteLayers({ trials, comparative, network, singleArms }).filter(({ verdict }) => verdict === 'established')
 */
export function siteLayers(evidence: {
  readonly trials: SitePairs;
  readonly comparative: SitePairs;
  readonly network: NetworkResult;
  readonly splits: readonly NodeSplit[];
  readonly penalised?: PenalisedNetwork;
  readonly singleArms: SingleArmContrast;
}): readonly PairLayers[] {
  const { trials, comparative, network, splits, penalised, singleArms } = evidence;
  for (const { measure } of [trials, comparative])
    if (measure !== 'odds-ratio')
      throw new RangeError(`siteLayers compares odds ratios, received ${measure}`);
  if (network.parts.length > 0 && network.scale !== 'log-odds-ratio')
    throw new RangeError(`siteLayers compares log odds ratios, received a network on ${network.scale}`);
  return comparative.pairs.map((pair, at): PairLayers => {
    const { treatment, comparator, name } = pair;
    const same = (each: { readonly treatment: string; readonly comparator: string }): boolean =>
      each.treatment === treatment && each.comparator === comparator;
    const single = singleArms.differences.find(same);
    const combined = effectBetween(network.parts, treatment, comparator);
    const counts = penalised?.parts.flatMap(({ comparisons }) => comparisons) ?? [];
    const layers: LayerAnswer[] = [
      pairLayer('trials', trials.pairs[at]!),
      pairLayer('comparative', pair),
      {
        layer: 'network',
        studies: directStudies(network, treatment, comparator),
        oddsRatio: combined && ratioOf(combined),
      },
      ...(penalised === undefined
        ? []
        : [
            {
              layer: 'penalised',
              studies: pair.studies.length,
              oddsRatio: ratioBetween(counts, treatment, comparator),
            } as const,
          ]),
      {
        layer: 'single-arm',
        studies: singleArmStudies(singleArms, treatment, comparator),
        oddsRatio: single?.oddsRatio,
      },
    ];
    const split = splits.find(same);
    const judged = judge(layers, trials.pairs[at]!.pool.studies, split);
    const naive = sideOf(layers.at(-1)!);
    const others = layers.slice(0, 3).map(sideOf);
    const byCounts = layers.find(({ layer }) => layer === 'penalised');
    const countsSide = byCounts && sideOf(byCounts);
    const aside =
      countsSide !== undefined && countsSide !== judged.direction
        ? ` The network of counts alone shows ${countsSide} events; it allows for no difference between studies and does not count.`
        : '';
    return {
      treatment,
      comparator,
      name,
      layers,
      ...judged,
      reason: `${judged.reason}${aside}`,
      split,
      singleArmsMislead: naive !== undefined && !others.includes(naive),
    };
  });
}

const pairLayer = (layer: EvidenceLayer, { pool }: SitePair): LayerAnswer => ({
  layer,
  studies: pool.studies,
  oddsRatio:
    pool.natural?.interval === undefined
      ? undefined
      : { value: pool.natural.value, interval: pool.natural.interval },
});

function ratioOf({ value, interval }: NetworkEffect): LayerAnswer['oddsRatio'] {
  const [middle, lower, upper] = [value, interval.lower, interval.upper].map(Math.exp) as [
    number,
    number,
    number,
  ];
  if (![middle, lower, upper].every((each) => Number.isFinite(each) && each > 0)) return undefined;
  return { value: middle, interval: { lower, upper, level: interval.level } };
}

function ratioBetween(comparisons: readonly CountComparison[], treatment: string, comparator: string) {
  for (const each of comparisons) {
    const { effect } = each;
    if (each.treatment === treatment && each.comparator === comparator) return ratioOf(effect);
    if (each.treatment === comparator && each.comparator === treatment)
      return ratioOf({
        ...effect,
        value: -effect.value,
        interval: { ...effect.interval, lower: -effect.interval.upper, upper: -effect.interval.lower },
      });
  }
  return undefined;
}

const directStudies = (network: NetworkResult, one: string, other: string): number =>
  network.parts
    .flatMap(({ comparisons }) => comparisons)
    .filter(
      ({ treatment, comparator }) =>
        (treatment === one && comparator === other) || (treatment === other && comparator === one),
    )
    .reduce((sum, each) => sum + each.directStudies, 0);

const singleArmStudies = ({ pools }: SingleArmContrast, one: PooledSite, other: PooledSite): number =>
  new Set(
    pools.sites
      .filter(({ site }) => site === one || site === other)
      .flatMap(({ pool }) => pool.arms.map(({ study }) => study)),
  ).size;

/** Which side of no difference a layer's whole interval lies on. */
function sideOf({ oddsRatio }: LayerAnswer): 'fewer' | 'more' | undefined {
  if (oddsRatio === undefined) return undefined;
  if (oddsRatio.interval.upper < 1) return 'fewer';
  return oddsRatio.interval.lower > 1 ? 'more' : undefined;
}

function judge(
  layers: readonly LayerAnswer[],
  trialStudies: number,
  split: NodeSplit | undefined,
): Pick<PairLayers, 'verdict' | 'direction' | 'reason'> {
  const [trials, comparative, network] = layers as [LayerAnswer, LayerAnswer, LayerAnswer];
  const sides = [trials, comparative, network].map(sideOf);
  const said = [...new Set(sides.filter((side) => side !== undefined))];
  const conflict = split !== undefined && split.pValue < 0.05;
  if (said.length === 0) {
    const answered = [
      ['randomised trials', trials],
      ['comparative studies', comparative],
      ['network', network],
    ].flatMap(([what, layer]) => ((layer as LayerAnswer).oddsRatio === undefined ? [] : [what as string]));
    return {
      verdict: 'unknown',
      direction: undefined,
      reason:
        answered.length === 0
          ? 'No study gives a ratio, and no way by other studies links the two.'
          : `Compatible with no difference: ${answered.join(', ')}. We cannot tell, which is not the same as alike.`,
    };
  }
  if (said.length > 1)
    return {
      verdict: 'unknown',
      direction: undefined,
      reason: 'Layers contradict each other, so none of them is believed here.',
    };
  const direction = said[0]!;
  const [trialSide, , networkSide] = sides;
  if (trialSide === direction && networkSide === direction && trialStudies >= 2 && !conflict)
    return {
      verdict: 'established',
      direction,
      reason: `${trialStudies} randomised trials exclude no difference and the network agrees.`,
    };
  const why = [
    trialSide === direction
      ? trialStudies < 2
        ? 'only one randomised trial carries it'
        : undefined
      : trials.oddsRatio === undefined
        ? 'no randomised trial gives an estimate'
        : 'the randomised trials alone are compatible with no difference',
    networkSide === direction ? undefined : 'the network is compatible with no difference',
    conflict ? 'direct and indirect evidence conflict' : undefined,
  ].filter((each) => each !== undefined);
  return { verdict: 'suggested', direction, reason: `A difference shows, but ${why.join(', and ')}.` };
}
