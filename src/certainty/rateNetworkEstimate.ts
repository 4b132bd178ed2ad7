import { effectBetween } from '../comparison/network/leagueTable.ts';
import type { NetworkPart, NetworkResult } from '../comparison/network/networkResult.ts';
import type { NodeSplit } from '../comparison/network/splitNodes.ts';
import type { BaselineRisk, PairMeasure } from '../comparison/pairs/comparePairs.ts';
import type { EventsOutcome } from '../extraction/protocol.ts';
import { type PooledSite, pooledSites, siteNames } from '../extraction/site.ts';
import { checkChoice, show } from '../pooling/optionChecks.ts';
import type { BodyOfEvidence } from './bodyOfEvidence.ts';
import type { CertaintyQuestion } from './certaintyQuestion.ts';
import {
  type CertaintyLevel,
  type CertaintyRating,
  type CertaintyStep,
  certaintyLevels,
} from './certaintyRating.ts';
import { type CertaintyRuleOptions, resolveCertaintyRules } from './certaintyRules.ts';
import { differenceAt } from './comparisonBodies.ts';
import type { DomainProposal } from './domainProposal.ts';
import { imprecision } from './domains/imprecision.ts';
import { indirectPath } from './indirectPath.ts';
import { hundredText, thresholdsOf } from './perHundred.ts';
import { standardSentence } from './standardSentence.ts';

export interface NetworkRatingOptions {
  readonly outcome: EventsOutcome;
  /** Risk of the comparator at which the difference is said. */
  readonly baseline: BaselineRisk;
  /** Direct against indirect, of {@link splitNodes}; without it incoherence cannot be asked. */
  readonly splits?: readonly NodeSplit[];
  /** Levels for studies of the legs that differ in what changes the effect, with the reason; declared, never found. */
  readonly intransitivity?: { readonly levels: 0 | -1 | -2; readonly reason: string };
  readonly rules?: CertaintyRuleOptions;
}

/** How sure a reader may be of a network's answer on one pair, and every step. */
export interface NetworkRating {
  readonly kind: 'network-rating';
  readonly question: CertaintyQuestion;
  /** Rating of the direct evidence without its imprecision; undefined without any. */
  readonly direct: CertaintyLevel | undefined;
  /** Lower of the legs of the way round, without their imprecision; undefined without a way round whose legs are rated. */
  readonly indirect: CertaintyLevel | undefined;
  /** Sites of the way round, both ends included. */
  readonly path: readonly string[];
  readonly incoherence: DomainProposal;
  readonly imprecision: DomainProposal;
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
 * Direct and indirect evidence are rated apart, both without imprecision. The direct rating is that of the studies of the
 * pair; the indirect one is the lower of the two legs of the loop that carries most (the way round with the smallest
 * variance, through one other site where there is one), less what is declared for intransitivity. The network estimate
 * starts at the higher of the two, and falls for incoherence between them and for its own imprecision.
 *
 * @param ratings ratings of the direct comparisons, each in either order of its sites
 * @throws RangeError for a pair the network does not hold, a baseline outside 0 to 1, or a scale without risks
 * @see Puhan MA and others, BMJ 2014;349:g5630. Brignardello-Petersen R and others, J Clin Epidemiol 2018;93:36 (no
 *   imprecision in the parts). How incoherence is turned into levels is ours.
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
  const levelOf = (one: string, other: string): number | undefined => {
    const rating = ratings.find(
      ({ question: asked }) =>
        asked.kind === 'comparison' &&
        asked.outcome === outcome.id &&
        ((asked.site === one && asked.comparator === other) ||
          (asked.site === other && asked.comparator === one)),
    );
    return rating === undefined ||
      rating.level === undefined ||
      rating.body.design === 'series against series'
      ? undefined
      : levelWithoutImprecision(rating);
  };
  const comparison = comparisonOf(part, site, comparator);
  const direct = comparison?.direct === undefined ? undefined : levelOf(site, comparator);
  const path = indirectPath(part, site, comparator);
  const legs = path.slice(1).map((to, at) => levelOf(path[at]!, to));
  const indirect =
    legs.length === 0 || legs.some((leg) => leg === undefined)
      ? undefined
      : Math.max(0, Math.min(...(legs as number[])) + (intransitivity?.levels ?? 0));
  const hundred = (value: number): number => 100 * differenceAt(measure, value, baseline.risk);
  const body = networkBody(outcome, part, {
    value: hundred(effect.value),
    lower: hundred(effect.interval.lower),
    upper: hundred(effect.interval.upper),
  });
  const incoherence = incoherenceOf(splits, site, comparator, hundred, outcome);
  const imprecise = imprecision({ question, body }, rules);
  const parts = [direct, indirect].filter((level) => level !== undefined);
  const steps: CertaintyStep[] = [];
  let level: CertaintyLevel | undefined;
  if (parts.length > 0) {
    const start = Math.max(...parts);
    const words = (part: number | undefined): string =>
      part === undefined ? 'not rated' : certaintyLevels[part]!;
    steps.push({
      what: 'start',
      levels: 0,
      sum: start,
      words: `Starts ${certaintyLevels[start]!}: the higher of direct (${words(direct)}) and indirect (${words(indirect)}${path.length > 2 ? `, by way of ${path.slice(1, -1).map(nameOf).join(' and ')}` : ''}), each without imprecision.`,
    });
    let sum = start;
    const add = (what: 'inconsistency' | 'imprecision', { proposed, evidence }: DomainProposal): void => {
      if (proposed === 0) return;
      sum += proposed;
      steps.push({ what, levels: proposed, sum, words: evidence.join(' ') });
    };
    add('inconsistency', incoherence);
    add('imprecision', imprecise);
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
    path,
    incoherence,
    imprecision: imprecise,
    level,
    steps,
    body,
    // Without a rated part nothing is known of the certainty, and no level is put on the words.
    sentence: standardSentence(question, body, level ?? 'very low'),
  };
}

const nameOf = (treatment: string): string =>
  (siteNames as Readonly<Record<string, string>>)[treatment]?.toLowerCase() ?? treatment;

/** The rating's own start and levels, without those for imprecision: 0 to 3. */
function levelWithoutImprecision({ start, domains }: CertaintyRating): number {
  const sum = domains
    .filter(({ domain }) => domain !== 'imprecision')
    .reduce((total, { levels }) => total + levels, certaintyLevels.indexOf(start.level));
  return Math.min(Math.max(sum, 0), certaintyLevels.length - 1);
}

const comparisonOf = ({ comparisons }: NetworkPart, one: string, other: string) =>
  comparisons.find(
    ({ treatment, comparator }) =>
      (treatment === one && comparator === other) || (treatment === other && comparator === one),
  );

function incoherenceOf(
  splits: readonly NodeSplit[] | undefined,
  one: string,
  other: string,
  hundred: (value: number) => number,
  outcome: EventsOutcome,
): DomainProposal {
  const split = splits?.find(
    ({ treatment, comparator }) =>
      (treatment === one && comparator === other) || (treatment === other && comparator === one),
  );
  if (split === undefined)
    return {
      proposed: 0,
      evidence: ['Direct and indirect evidence cannot be told apart, so incoherence cannot be asked.'],
    };
  const sign = split.treatment === one ? 1 : -1;
  const [direct, indirect] = [hundred(sign * split.direct.value), hundred(sign * split.indirect.value)];
  const { material, large } = thresholdsOf(outcome);
  const gap = Math.abs(direct - indirect);
  const levels = split.pValue < 0.01 && gap > large ? -2 : split.pValue < 0.1 && gap > material ? -1 : 0;
  return {
    proposed: levels,
    evidence: [
      `Direct ${hundredText(direct)} and indirect ${hundredText(indirect)} in 100, p of the difference ${split.pValue < 0.001 ? 'below 0.001' : split.pValue.toPrecision(2)}; a gap of ${hundredText(material)} in 100 matters.`,
    ],
  };
}

function networkBody(
  outcome: EventsOutcome,
  part: NetworkPart,
  estimate: NonNullable<BodyOfEvidence['estimate']>,
): BodyOfEvidence {
  return {
    design: 'network',
    outcome,
    studies: part.studies.length,
    shoulders: 0,
    events: 0,
    notInNumber: [],
    estimate,
    prediction: undefined,
    trueSpread: undefined,
    betweenStudyDeviation: undefined,
    parts: [],
    arms: [],
    relative: undefined,
    absolute: [],
    rows: part.studies.flatMap((study) => study.rows ?? []),
  };
}
