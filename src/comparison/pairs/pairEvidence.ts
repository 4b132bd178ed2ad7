import type { AbsoluteEffect, Limits } from '../../effects/absoluteEffect.ts';
import type { ArmEvents } from '../../extraction/armEvents.ts';
import { type PooledSite, siteNames } from '../../extraction/site.ts';
import type { Interval } from '../../numerics/interval.ts';
import { comparePairs, type PairOptions, type SitePair, type StudyNotInNumber } from './comparePairs.ts';

/** Which studies an answer on two sites rests on. */
export const pairBases = ['randomised trials', 'non-randomised studies', 'studies that did both'] as const;
export type PairBasis = (typeof pairBases)[number];

/** What studies that treated patients at two sites say of them: first less second, whatever their order. */
export interface PairEvidence {
  readonly treatment: PooledSite;
  readonly comparator: PooledSite;
  readonly name: string;
  /** Undefined when no study of the pair gives an estimate. */
  readonly basis: PairBasis | undefined;
  /** Studies with both sites in the pooled effect. */
  readonly studies: number;
  /** Studies with both sites that are not in it, each with the reason. */
  readonly notInNumber: readonly StudyNotInNumber[];
  /** The pair pooled as an odds ratio, in the library's own order of sites. */
  readonly pair: SitePair;
  /** Ratio of the risks with its limits. */
  readonly ratio: { readonly value: number; readonly lower: number; readonly upper: number } | undefined;
  /** Risks of both sites in these studies, and their difference. */
  readonly risks: PairRisks | undefined;
}

/** The risk at one of the sites is that of its arms in these studies; the other follows from the pooled effect. */
export interface PairRisks {
  readonly treatment: number;
  readonly comparator: number;
  readonly difference: { readonly value: number; readonly lower: number; readonly upper: number };
  /** The site whose risk was held still, and where it comes from; the other follows from the pooled effect. */
  readonly held: 'treatment' | 'comparator';
  /** That site by name: a difference is said at this site's risk, whichever way round it is asked. */
  readonly riskOf: PooledSite;
  readonly source: string;
  /** Of the risk held; without width where it was taken as known. */
  readonly riskInterval: Interval;
  readonly riskKnown: boolean;
  /** Limits of both risks. */
  readonly limits: { readonly treatment: Limits; readonly comparator: Limits };
}

export interface PairEvidenceOptions extends Omit<PairOptions, 'measure' | 'baselines'> {
  /** Only these studies; without it the rule of {@link pairEvidence}. */
  readonly only?: 'randomised trials' | 'non-randomised studies';
}

/** Randomised trials stand alone from this many on; below it they are pooled with the other studies of the pair. */
const enoughTrials = 2;

/**
 * What is known of one site against another, from studies that treated patients at both?
 *
 * Two or more randomised trials with an estimate are taken alone; otherwise all studies with both arms are pooled. A
 * caller who rated one kind of studies asks for those alone.
 * Rates of single arms never enter. With no such study there is no answer.
 *
 * @param arms one outcome's arms, of every design
 * @throws RangeError when the two sites are the same one
 * @example
 * pairEvidence(selection.arms, 'subpectoral', 'tenotomy', pooling).risks?.difference
 */
export function pairEvidence(
  arms: readonly ArmEvents[],
  treatment: PooledSite,
  comparator: PooledSite,
  options: PairEvidenceOptions = {},
): PairEvidence {
  const { only, ...pooling } = options;
  if (treatment === comparator)
    throw new RangeError(`two different sites are needed, received ${treatment} twice`);
  const ofPair = arms.filter(({ site }) => site === treatment || site === comparator);
  const trialArms = ofPair.filter(({ design }) => design === 'randomised trial');
  const enough = (): boolean =>
    findPair(trialArms, treatment, comparator, pooling, 'odds-ratio').pool.studies >= enoughTrials;
  const basis: PairBasis = only ?? (enough() ? 'randomised trials' : 'studies that did both');
  const used = {
    'randomised trials': trialArms,
    'non-randomised studies': ofPair.filter(({ design }) => design !== 'randomised trial'),
    'studies that did both': ofPair,
  }[basis];
  const pair = findPair(used, treatment, comparator, pooling, 'odds-ratio');
  const turned = pair.treatment !== treatment;
  const ratio = findPair(used, treatment, comparator, pooling, 'risk-ratio').pool.natural;
  const [effect] = pair.absolute;
  return {
    treatment,
    comparator,
    name: `${siteNames[treatment]} against ${siteNames[comparator].toLowerCase()}`,
    basis: effect === undefined ? undefined : basis,
    studies: pair.inNumber.length,
    notInNumber: pair.notInNumber,
    pair,
    ratio:
      ratio?.interval === undefined || !(ratio.interval.lower > 0)
        ? undefined
        : turned
          ? { value: 1 / ratio.value, lower: 1 / ratio.interval.upper, upper: 1 / ratio.interval.lower }
          : { value: ratio.value, lower: ratio.interval.lower, upper: ratio.interval.upper },
    risks: effect && risksOf(effect, turned, pair.comparator),
  };
}

function findPair(
  arms: readonly ArmEvents[],
  one: PooledSite,
  other: PooledSite,
  options: Omit<PairOptions, 'measure' | 'baselines'>,
  measure: 'odds-ratio' | 'risk-ratio',
): SitePair {
  return comparePairs(arms, { ...options, measure }).pairs.find(
    ({ treatment, comparator }) =>
      (treatment === one && comparator === other) || (treatment === other && comparator === one),
  )!;
}

function risksOf(effect: AbsoluteEffect, turned: boolean, riskOf: PooledSite): PairRisks {
  const { value, lower, upper } = effect.difference;
  const held = {
    riskOf,
    source: effect.baselineSource,
    riskInterval: effect.baselineInterval,
    riskKnown: effect.baselineKnown,
  };
  const [follows, still] = [limitsOf(effect.risk), limitsOf(effect.baselineInterval)];
  return turned
    ? {
        treatment: effect.baselineRisk,
        comparator: effect.risk.value,
        difference: { value: -value, lower: -upper, upper: -lower },
        held: 'treatment',
        ...held,
        limits: { treatment: still, comparator: follows },
      }
    : {
        treatment: effect.risk.value,
        comparator: effect.baselineRisk,
        difference: { value, lower, upper },
        held: 'comparator',
        ...held,
        limits: { treatment: follows, comparator: still },
      };
}

const limitsOf = ({ lower, upper }: Limits): Limits => ({ lower, upper });
