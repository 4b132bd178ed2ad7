import { effectBetween } from '../comparison/network/leagueTable.ts';
import type { NetworkEffect, NetworkResult } from '../comparison/network/networkResult.ts';
import type { NodeSplit } from '../comparison/network/splitNodes.ts';
import { absoluteEffects, type PairMeasure } from '../comparison/pairs/comparePairs.ts';
import type { BaselineRisk } from '../effects/absoluteEffect.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';
import type { EventsOutcome } from '../extraction/protocol.ts';
import { decidedNetworkDomains } from '../extraction/sheets/certaintySheet.ts';
import { type PooledSite, pooledSites, siteNames } from '../extraction/site.ts';
import { checkChoice, show } from '../pooling/optionChecks.ts';
import type { BodyOfEvidence } from './bodyOfEvidence.ts';
import { type CertaintyDecision, checkDecisions, type OpenDecision } from './certaintyDecision.ts';
import type { CertaintyQuestion } from './certaintyQuestion.ts';
import {
  type CertaintyLevel,
  type CertaintyRating,
  type CertaintyStep,
  certaintyLevels,
  type DomainJudgement,
} from './certaintyRating.ts';
import { type CertaintyRuleOptions, resolveCertaintyRules } from './certaintyRules.ts';
import { differenceAt } from './comparisonBodies.ts';
import type { DecisionsFound } from './decisionsOfReview.ts';
import type { DomainProposal } from './domainProposal.ts';
import { imprecision } from './domains/imprecision.ts';
import { incoherenceOf } from './domains/incoherence.ts';
import { indirectPath } from './indirectPath.ts';
import {
  comparisonOf,
  designsOf,
  effectiveShoulders,
  type FittedDesign,
  levelAsFitted,
  networkBody,
} from './networkParts.ts';
import { shareText } from './perHundred.ts';
import { levelsText } from './rateCertainty.ts';
import { effectSizeOf, standardSentence } from './standardSentence.ts';

export interface NetworkRatingOptions {
  readonly outcome: EventsOutcome;
  /** Risk of the comparator at which the difference is said. */
  readonly baseline: BaselineRisk;
  /** Direct against indirect, of {@link splitNodes}; without it incoherence cannot be asked. */
  readonly splits?: readonly NodeSplit[];
  /** Levels for studies of the legs that differ in what changes the effect, with the reason; declared, never found. */
  readonly intransitivity?: { readonly levels: 0 | -1 | -2; readonly reason: string };
  readonly rules?: CertaintyRuleOptions;
  /** What people decided on the network estimate itself, in {@link networkDomains}; the rest is decided on its parts. */
  readonly decisions?: readonly CertaintyDecision[];
  /** What people decided, asked for once the body is known; instead of `decisions`. */
  readonly decided?: (body: BodyOfEvidence) => DecisionsFound;
  /** Arms that were fitted, kept in the body. */
  readonly arms?: readonly ArmEvents[];
}

/** Domains of a network estimate itself: incoherence, intransitivity and its own imprecision. */
export const networkDomains = decidedNetworkDomains;

/** Which part of a network estimate decides where its certainty starts. */
export type DominatingPart = 'direct' | 'indirect' | 'both alike';

/** How sure a reader may be of a network's answer on one pair, and every step. */
export interface NetworkRating {
  readonly kind: 'network-rating';
  readonly question: CertaintyQuestion;
  /** Rating of the direct evidence that was fitted, without its imprecision; undefined without any. */
  readonly direct: CertaintyLevel | undefined;
  /** Lower of the legs of the way round, without their imprecision; undefined without a way round whose legs are rated. */
  readonly indirect: CertaintyLevel | undefined;
  /** Share of the network estimate that is direct, 0 to 1. */
  readonly directShare: number;
  readonly dominating: DominatingPart;
  /** Sites of the way round, both ends included. */
  readonly path: readonly string[];
  /** Kinds of studies that were fitted. */
  readonly designs: readonly FittedDesign[];
  readonly incoherence: DomainProposal;
  readonly imprecision: DomainProposal;
  /** Proposals and decisions, in the order of {@link networkDomains}. */
  readonly domains: readonly DomainJudgement[];
  /** True once people have decided on each of these domains, on this network as it is now. */
  readonly confirmed: boolean;
  /** Decisions on this estimate that do not count, each with the reason. */
  readonly decisionsOpen: readonly OpenDecision[];
  readonly level: CertaintyLevel | undefined;
  readonly steps: readonly CertaintyStep[];
  readonly body: BodyOfEvidence;
  readonly sentence: string;
}

const measures: Readonly<Record<string, PairMeasure>> = {
  'log-odds-ratio': 'odds-ratio',
  'log-risk-ratio': 'risk-ratio',
  'risk-difference': 'risk-difference',
};

/**
 * How sure may a reader be of what the network says of one pair?
 *
 * Direct and indirect evidence are rated apart, both without imprecision, and as they were fitted: where a pair has trials
 * and other studies in the network, the lower rating of the two counts; a kind that was fitted and not rated counts at no
 * more than where it starts. The indirect rating is the lower of the two legs of the loop that carries most (the way round
 * with the smallest variance, through one other site where there is one), less what is declared for intransitivity.
 *
 * The network estimate starts at the rating of the part that dominates it: the one with more than half of its weight, and
 * the higher of the two where they weigh alike. It falls for incoherence between them and for its own imprecision, by the
 * same rules as any comparison; the shoulders held against the optimal information size are those of the direct studies and
 * of the way round, a way of legs with n₁ and n₂ shoulders counting for n₁n₂/(n₁+n₂).
 *
 * @param ratings ratings of the direct comparisons with their `others`, each in either order of its sites
 * @throws RangeError for a pair the network does not hold, a baseline outside 0 to 1, a scale without risks, or a decision
 *   on a domain that is decided on the parts
 * @see Puhan MA and others, BMJ 2014;349:g5630. Brignardello-Petersen R and others, J Clin Epidemiol 2018;93:36 (no
 *   imprecision in the parts; the dominating part decides). Thorlund K, Mills EJ, Syst Rev 2012;1:41 (effective number of an
 *   indirect comparison). How incoherence is turned into levels, and the lower rating of two kinds of studies, are ours.
 * @example
 * rateNetworkEstimate(network, { site: 'subpectoral', comparator: 'tenotomy' }, ratings, { outcome, baseline }).level
 */
export function rateNetworkEstimate(
  network: NetworkResult,
  pair: { readonly site: PooledSite; readonly comparator: PooledSite },
  ratings: readonly CertaintyRating[],
  options: NetworkRatingOptions,
): NetworkRating {
  const { outcome, baseline, splits, intransitivity } = options;
  const rules = resolveCertaintyRules(options.rules);
  const site = checkChoice('site', pair.site, pooledSites);
  const comparator = checkChoice('comparator', pair.comparator, pooledSites);
  if (!(baseline.risk > 0 && baseline.risk < 1))
    throw new RangeError(`baseline risk must lie between 0 and 1, received ${show(baseline.risk)}`);
  const measure = measures[network.scale];
  if (measure === undefined)
    throw new RangeError(
      `scale must be one of ${Object.keys(measures).join(', ')}, received ${network.scale}`,
    );
  const part = network.parts.find(
    ({ treatments }) => treatments.includes(site) && treatments.includes(comparator),
  );
  const effect = part && effectBetween(network.parts, site, comparator);
  if (part === undefined || effect === undefined)
    throw new RangeError(`the network must link ${site} and ${comparator}; it does not`);
  const question: CertaintyQuestion = { kind: 'comparison', outcome: outcome.id, site, comparator };
  const levelOf = (one: string, other: string): number | undefined =>
    levelAsFitted(ratings, outcome.id, one, other, designsOf(part, one, other));
  const comparison = comparisonOf(part, site, comparator);
  const direct = comparison?.direct === undefined ? undefined : levelOf(site, comparator);
  const path = indirectPath(part, site, comparator);
  const legs = path.slice(1).map((to, at) => levelOf(path[at]!, to));
  const indirect =
    legs.length === 0 || legs.some((leg) => leg === undefined)
      ? undefined
      : Math.max(0, Math.min(...(legs as number[])) + (intransitivity?.levels ?? 0));
  const directShare = comparison?.directShare ?? 0;
  const dominating: DominatingPart =
    Math.abs(directShare - 0.5) < 1e-9 ? 'both alike' : directShare > 0.5 ? 'direct' : 'indirect';
  const start =
    dominating === 'direct'
      ? direct
      : dominating === 'indirect'
        ? indirect
        : direct === undefined || indirect === undefined
          ? (direct ?? indirect)
          : Math.max(direct, indirect);
  const hundred = (value: number): number => 100 * differenceAt(measure, value, baseline.risk);
  const { effects } = absoluteEffects(measure, { natural: naturalOf(measure, effect) }, [baseline]);
  const body = networkBody(outcome, part, effects, {
    arms: options.arms ?? [],
    effectiveShoulders: effectiveShoulders(part, site, comparator, path),
  });
  const { decisions, open } = options.decided?.(body) ?? { decisions: options.decisions ?? [], open: [] };
  checkDecisions(decisions);
  for (const { domain } of decisions) checkChoice('domain of a network decision', domain, networkDomains);
  const incoherence = incoherenceOf(splits, site, comparator, hundred, outcome);
  const imprecise = imprecision({ question, body }, rules);
  const intransitive: DomainProposal = {
    proposed: 0,
    evidence: [
      intransitivity === undefined
        ? 'No intransitivity was declared: whether the studies of the legs differ in what changes the effect is for people to say.'
        : `Intransitivity, taken off the indirect part already (${levelsText(intransitivity.levels)}): ${intransitivity.reason}`,
    ],
  };
  const judged = (domain: (typeof networkDomains)[number], proposal: DomainProposal): DomainJudgement => {
    const decision = decisions.find((each) => each.domain === domain);
    return {
      domain,
      ...proposal,
      decided: decision?.levels,
      reason: decision?.reason,
      row: decision?.row,
      levels: decision?.levels ?? proposal.proposed,
    };
  };
  const domains = [
    judged('inconsistency', incoherence),
    judged('indirectness', intransitive),
    judged('imprecision', imprecise),
  ];
  const steps: CertaintyStep[] = [];
  let level: CertaintyLevel | undefined;
  if (start !== undefined) {
    const words = (part: number | undefined): string =>
      part === undefined ? 'not rated' : certaintyLevels[part]!;
    const way = path.length > 2 ? `, by way of ${path.slice(1, -1).map(nameOf).join(' and ')}` : '';
    const why =
      dominating === 'both alike'
        ? 'direct and indirect evidence weigh alike, so the higher counts'
        : `${dominating} evidence dominates, with ${shareText(dominating === 'direct' ? directShare : 1 - directShare)} of the estimate`;
    steps.push({
      what: 'start',
      levels: 0,
      sum: start,
      words: `Starts ${certaintyLevels[start]!}: ${why} (direct ${words(direct)}, indirect ${words(indirect)}${way}, each without imprecision).`,
    });
    let sum = start;
    for (const { domain, levels, decided, reason, evidence, decisive } of domains) {
      if (levels === 0) continue;
      sum += levels;
      const facts = decided === undefined ? (decisive ?? evidence).join(' ') : (reason ?? '');
      steps.push({ what: domain, levels, sum, words: facts });
    }
    const held = Math.max(0, sum);
    if (held !== sum)
      steps.push({
        what: 'bounds',
        levels: held - sum,
        sum: held,
        words: 'There is nothing below very low.',
      });
    level = certaintyLevels[held]!;
  }
  return {
    kind: 'network-rating',
    question,
    direct: direct === undefined ? undefined : certaintyLevels[direct],
    indirect: indirect === undefined ? undefined : certaintyLevels[indirect],
    directShare,
    dominating,
    path,
    designs: designsOf(part),
    incoherence,
    imprecision: imprecise,
    domains,
    confirmed:
      level !== undefined && open.length === 0 && domains.every(({ decided }) => decided !== undefined),
    decisionsOpen: open,
    level,
    steps,
    body,
    // Without a rated part nothing is known of the certainty, and no level is put on the words.
    sentence: standardSentence(
      question,
      body,
      level ?? 'very low',
      effectSizeOf(
        body,
        domains.find(({ domain }) => domain === 'imprecision'),
      ),
    ),
  };
}

const nameOf = (treatment: string): string =>
  (siteNames as Readonly<Record<string, string>>)[treatment]?.toLowerCase() ?? treatment;

/** An effect of the analysis scale on the natural one. */
function naturalOf(measure: PairMeasure, { value, interval }: NetworkEffect) {
  const natural = (each: number): number => (measure === 'risk-difference' ? each : Math.exp(each));
  return {
    value: natural(value),
    interval: { lower: natural(interval.lower), upper: natural(interval.upper), level: interval.level },
  };
}
