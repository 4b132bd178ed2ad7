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

export interface PairLayers {
  readonly treatment: PooledSite;
  readonly comparator: PooledSite;
  readonly name: string;
  readonly layers: readonly LayerAnswer[];
  /** Direct against indirect; undefined where they cannot be told apart. */
  readonly split: NodeSplit | undefined;
  /** The single arms point the other way, or claim what no comparative layer bears out. */
  readonly singleArmsMislead: boolean;
}

/**
 * What does each layer of evidence say of each pair of sites?
 *
 * Randomised trials, other studies with both arms, the network of all of them, where given the network of counts, and
 * single arms, which are no comparison. The layers stand side by side for a reader to see where they part; what may be
 * said of a pair is the answer to its question and is not decided here.
 *
 * @throws RangeError for pairs that are not odds ratios, or a network on another scale
 * @example
 * siteLayers({ trials, comparative, network, splits, singleArms }).filter(({ singleArmsMislead }) => singleArmsMislead)
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
    const naive = sideOf(layers.at(-1)!);
    const others = layers.slice(0, 3).map(sideOf);
    return {
      treatment,
      comparator,
      name,
      layers,
      split: splits.find(same),
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
