import type { Interval } from '../../numerics/interval.ts';
import type { ResolvedNetworkOptions } from './networkOptions.ts';
import type { NetworkLeftOut, NetworkScale, NetworkStudy } from './networkStudy.ts';
import type { NetworkSystem } from './networkSystem.ts';
import type { NetworkSolution } from './solveNetwork.ts';

/** Everything a network may warn of. Misuse throws; awkward data give one of these. */
export const networkCautionCodes = [
  'nothing-to-compare',
  'disconnected',
  'one-study-per-comparison',
  'variance-not-estimable',
  'no-closed-loop',
  'correction-added',
  'studies-left-out',
  'one-design-only',
  'interval-method-replaced',
  'hartung-knapp-narrowed',
] as const;
export type NetworkCautionCode = (typeof networkCautionCodes)[number];

export interface NetworkCaution {
  readonly code: NetworkCautionCode;
  readonly message: string;
}

/** A difference between two treatments on the analysis scale. */
export interface NetworkEffect {
  readonly value: number;
  readonly standardError: number;
  readonly interval: Interval;
  /** Two-sided p value of no difference, by the test that the interval inverts. */
  readonly pValue: number;
}

/** What the network says of one pair, and where that comes from: first treatment less second. */
export interface NetworkComparison {
  readonly treatment: string;
  readonly comparator: string;
  readonly network: NetworkEffect;
  /** Where the true effect of the next study may lie; undefined under a common effect or without enough studies. */
  readonly prediction: Interval | undefined;
  /** Pool of the studies that hold both arms, at the network's between-study variance; undefined without any. */
  readonly direct: NetworkEffect | undefined;
  readonly directStudies: number;
  /** What the rest of the network says, taken back out; undefined when there is nothing but direct evidence. */
  readonly indirect: NetworkEffect | undefined;
  /** Variance of the network estimate over that of the direct one: 0 without direct evidence, 1 with nothing else. */
  readonly directShare: number;
}

/** A connected part of the network. */
export interface NetworkPart {
  readonly treatments: readonly string[];
  readonly studies: readonly NetworkStudy[];
  /** Σ (arms − 1). */
  readonly contrasts: number;
  readonly heterogeneity: {
    /** Q around the common-effect network. */
    readonly q: number;
    readonly degreesOfFreedom: number;
    /** Undefined without degrees of freedom. */
    readonly pValue: number | undefined;
    /** Undefined without degrees of freedom: scatter cannot then be told from difference. */
    readonly betweenStudyVariance: number | undefined;
    readonly betweenStudyVarianceInterval: Interval | undefined;
    readonly iSquared: number | undefined;
  };
  /** Every pair once, in the order of `treatments`. */
  readonly comparisons: readonly NetworkComparison[];
  /** What later questions (splits, ranks, contributions) start from. */
  readonly system: NetworkSystem;
  readonly solution: NetworkSolution;
}

/** Every treatment against every other, by way of all studies. */
export interface NetworkResult {
  readonly kind: 'network-result';
  readonly scale: NetworkScale;
  readonly options: ResolvedNetworkOptions;
  readonly treatments: readonly string[];
  /** Largest first; more than one when no study links some treatments to the others. */
  readonly parts: readonly NetworkPart[];
  readonly leftOut: readonly NetworkLeftOut[];
  readonly cautions: readonly NetworkCaution[];
  readonly methodsSentence: string;
}
