import { comparePair, type PairOptions } from '../comparison/pairs/comparePairs.ts';
import { contrastSingleArms } from '../comparison/pairs/singleArmContrast.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';
import type { SelectionDepartures } from '../extraction/eventSelection.ts';
import type { EventsOutcome } from '../extraction/protocol.ts';
import type { Review } from '../extraction/review.ts';
import { selectEvents } from '../extraction/selectEvents.ts';
import { type PooledSite, pooledSites, siteNames } from '../extraction/site.ts';
import { notesOnArms } from '../pooling/notesOnArms.ts';
import { checkChoice, checkOptionNames } from '../pooling/optionChecks.ts';
import { poolBySite, type SitePools } from '../pooling/poolBySite.ts';
import type { PooledRate } from '../pooling/pooledRate.ts';
import { protocolOptions } from '../pooling/protocolOptions.ts';
import { type QuotePolicy, quoteSites } from '../pooling/quoteSites.ts';
import type { RatePoolOptions } from '../pooling/ratePoolOptions.ts';
import { missingEvidence } from '../robustness/missing/missingEvidence.ts';
import { judgeMissingEvidence, type MissingRecord } from '../robustness/missing/missingJudgement.ts';
import {
  type SmallStudyTest,
  smallStudyTests,
  smallStudyTestsOfRates,
} from '../robustness/smallStudies/smallStudyTests.ts';
import { type BodyDesign, type BodyOfEvidence, bodyDesigns, nothingAnswers } from './bodyOfEvidence.ts';
import type { CertaintyDecision } from './certaintyDecision.ts';
import type { CertaintyQuestion, ComparisonQuestion } from './certaintyQuestion.ts';
import { type CertaintyRating, certaintyLevels } from './certaintyRating.ts';
import { type CertaintyRuleOptions, resolveCertaintyRules } from './certaintyRules.ts';
import { type ComparativeDesign, pairBody, seriesBody } from './comparisonBodies.ts';
import { type DecisionsFound, decisionsOfReview, missingRecords } from './decisionsOfReview.ts';
import { differencesFound } from './differencesFound.ts';
import type { CertaintyEvidence, DeclaredDifference } from './domainProposal.ts';
import { fingerprintOfBody } from './fingerprintOfBody.ts';
import { oncePerReview } from './oncePerReview.ts';
import type { QualityOptions } from './quality/concern.ts';
import { qualityForQuestion } from './quality/studyQuality.ts';
import { rateBody } from './rateBody.ts';
import { rateCertainty } from './rateCertainty.ts';
import { rulesOfProtocol } from './rulesOfProtocol.ts';

export interface CertaintyOptions {
  readonly rules?: CertaintyRuleOptions;
  readonly quality?: QualityOptions;
  /** Differences between the studies and the question that the sheets do not show. */
  readonly differences?: readonly DeclaredDifference[];
  readonly departures?: SelectionDepartures;
  /** Default: the protocol's. */
  readonly pooling?: RatePoolOptions;
  /** Default: the protocol's, and `odds-ratio` where it names none. */
  readonly measure?: PairOptions['measure'];
  /** Further risks to say a comparison at. */
  readonly baselines?: PairOptions['baselines'];
  /** The body to rate; without it the one of most certainty by the proposals, trials at a tie. */
  readonly body?: BodyDesign;
  /** Decisions of people; default those of the review. */
  readonly decisions?: readonly CertaintyDecision[];
  /** Reviewers' judgements of missing evidence; default those of the review. */
  readonly missing?: readonly MissingRecord[];
  /** The outcome's counts where they were selected and pooled before; `departures` and `pooling` are then not read. */
  readonly counts?: SelectedCounts;
}

/** One outcome's arms that count, and each site's pool. */
export interface SelectedCounts {
  readonly outcome: EventsOutcome;
  readonly arms: readonly ArmEvents[];
  readonly options: RatePoolOptions;
  readonly pools: SitePools;
  /** Which number is quoted of them. */
  readonly quote: QuotePolicy;
}

type ReviewForCertainty = Pick<Review, 'protocol' | 'studies' | 'arms' | 'events' | 'scores' | 'judgements'> &
  Partial<Pick<Review, 'certainty' | 'missing'>>;

interface Candidate {
  readonly body: BodyOfEvidence;
  readonly smallStudies: readonly SmallStudyTest[];
}

/**
 * How sure may a reader be of the answer to this question, from this review?
 *
 * Selects the counts, pools them as the protocol says, reads quality, small-study effects and missing evidence, and
 * rates what comes out with {@link rateCertainty}. Trials and other studies of the same comparison are rated apart: the
 * one of more certainty (by the proposals; trials at a tie) is the answer and the other stays in `others`. Where the
 * protocol asks for both together and both give an estimate, the answer is what they give pooled as one body, and each alone
 * stays in `others`. Where no study compares the two sites, series of one are set against series of the other and rated as that. A decision counts for the
 * body it was taken on while that holds what it held; the others are in `decisionsOpen` and must be taken again.
 *
 * A pair asked the other way round is said at the risk of its other site, and decisions are kept apart: ask in the order of
 * {@link inSiteOrder}, as every output does.
 *
 * @throws RangeError for an outcome that is not counted as events, an unknown site or option, or a site against itself
 * @see {@link rateCertainty} and the domains.
 * @example
 * certaintyOfReview(review, { kind: 'rate', outcome: 'revision', site: 'subpectoral' }).sentence
 */
export function certaintyOfReview(
  review: ReviewForCertainty,
  question: CertaintyQuestion,
  options: CertaintyOptions = {},
): CertaintyRating {
  checkOptionNames(options, [
    'rules',
    'quality',
    'differences',
    'departures',
    'pooling',
    'measure',
    'baselines',
    'body',
    'decisions',
    'missing',
    'counts',
  ] satisfies (keyof CertaintyOptions)[]);
  checkChoice('kind', question.kind, ['rate', 'comparison']);
  checkChoice('site', question.site, pooledSites);
  if (question.kind === 'comparison') checkChoice('comparator', question.comparator, pooledSites);
  if (options.body !== undefined) checkChoice('body', options.body, bodyDesigns);
  const rules = resolveCertaintyRules({ ...rulesOfProtocol(review.protocol).rules, ...options.rules });
  const candidates = candidatesFor(review, question, options).filter(
    ({ body }) => options.body === undefined || body.design === options.body,
  );
  const quality = oncePerReview(
    review,
    `quality ${question.kind} ${question.outcome} ${JSON.stringify(options.quality ?? {})}`,
    () => qualityForQuestion(review, question, options.quality),
  );
  // Of this outcome only: the others would be read for nothing.
  const alone = review.protocol.outcomes.filter(({ id }) => id === question.outcome);
  const [missing] = judgeMissingEvidence(
    oncePerReview(review, `missing evidence ${question.outcome}`, () =>
      missingEvidence({ ...review, protocol: { ...review.protocol, outcomes: alone } }),
    ),
    (options.missing ?? missingRecords(review)).filter(({ outcome }) => outcome === question.outcome),
  );
  const evidenceOf = ({ body, smallStudies }: Candidate): CertaintyEvidence => ({
    question,
    body,
    quality,
    smallStudies,
    missing,
    differences: [...differencesFound(review, body, rules), ...(options.differences ?? [])],
  });
  const proposed = candidates.map((candidate) => {
    const evidence = evidenceOf(candidate);
    return { evidence, rating: rateCertainty(evidence, { rules }) };
  });
  const order = ({ rating }: (typeof proposed)[number]): number =>
    rating.level === undefined
      ? -1
      : certaintyLevels.indexOf(rating.level) + (rating.body.estimate === undefined ? 0 : 0.5);
  // The candidates stand strongest design first, and the sort keeps that order among equals; a mixture answers where it stands.
  const mixed = ({ rating }: (typeof proposed)[number]): number =>
    rating.body.design === 'all comparative studies' ? 1 : 0;
  const [best, ...others] = [...proposed].sort((a, b) => mixed(b) - mixed(a) || order(b) - order(a));
  if (best === undefined)
    throw new RangeError(
      `body must be one that can answer a ${question.kind} (${candidatesFor(review, question, options)
        .map(({ body }) => body.design)
        .join(', ')}), received ${String(options.body)}`,
    );
  const decided = (body: BodyOfEvidence, answer: boolean): DecisionsFound => {
    const held = (): string => fingerprintOfBody(body, quality);
    return decisionsOfReview(review, question, { design: body.design, held }, answer);
  };
  const noted = (rating: CertaintyRating): CertaintyRating => ({
    ...rating,
    cautions: [...rating.cautions, ...notesOnArms(armsOfBody(rating.body), review)],
  });
  return noted(
    rateCertainty(best.evidence, {
      rules,
      // A body that was asked for answers for itself only.
      ...(options.decisions === undefined
        ? decided(best.evidence.body, options.body === undefined)
        : { decisions: options.decisions }),
      others: others
        .filter(({ rating }) => rating.level !== undefined)
        .map(({ evidence }) => noted(rateCertainty(evidence, { rules, ...decided(evidence.body, false) }))),
    }),
  );
}

/** The arms a body's number rests on: those with weight, or all where none has (an exact interval). None without a number. */
function armsOfBody({ arms, parts, estimate, relative }: BodyOfEvidence): readonly ArmEvents[] {
  if (estimate === undefined && relative === undefined) return [];
  const weighed = parts.filter(({ weight }) => weight > 0);
  return weighed.length === 0
    ? arms
    : arms.filter(({ study, arm }) =>
        weighed.some((part) => part.study === study && (part.arm === undefined || part.arm === arm)),
      );
}

/** Bodies that could answer, strongest design first. */
function candidatesFor(
  review: ReviewForCertainty,
  question: CertaintyQuestion,
  options: CertaintyOptions,
): readonly Candidate[] {
  const selection = options.counts ?? selectedCounts(review, question, options);
  const pooling = selection.options;
  if (question.kind === 'rate') {
    const pool = poolAt(selection, question.site);
    return [{ body: rateBody(selection.outcome, pool), smallStudies: smallStudyTestsOfRates(pool.arms) }];
  }
  const { site, comparator } = question;
  if (site === comparator)
    throw new RangeError(`a site cannot be compared with itself, received ${siteNames[site]} twice`);
  // A comparator without events in the studies that compare still has a risk elsewhere in the review.
  const everywhere = poolAt(selection, comparator).headline;
  const { comparisonMeasure, comparisonBody } = review.protocol.analysis;
  const pairOptions = pairOptionsFrom(pooling, selection.quote, {
    ...options,
    measure: options.measure ?? comparisonMeasure,
    baselines: [
      ...(options.baselines ?? []),
      ...(everywhere !== undefined && everywhere.rate > 0 && everywhere.rate < 1
        ? [
            {
              risk: everywhere.rate,
              source: `${siteNames[comparator]} arms of all studies, pooled`,
              riskOf: comparator,
              interval: everywhere.interval,
            },
          ]
        : []),
    ],
  });
  const among = (design: ComparativeDesign): Candidate => {
    const arms =
      design === 'all comparative studies'
        ? selection.arms
        : selection.arms.filter(
            (arm) => (arm.design === 'randomised trial') === (design === 'randomised trials'),
          );
    const compared = comparePair(arms, site, comparator, pairOptions);
    return {
      body: pairBody(selection.outcome, design, compared, arms),
      smallStudies: smallStudyTests(compared.pair.pool.estimates),
    };
  };
  const within = [among('randomised trials'), among('non-randomised studies')].filter(
    ({ body }) => !nothingAnswers(body),
  );
  // Nothing is a mixture where only one kind of studies gives a number.
  const mixes = comparisonBody === 'together' && within.filter(({ body }) => body.studies > 0).length === 2;
  if (within.length > 0 && options.body !== 'series against series')
    return mixes ? [among('all comparative studies'), ...within] : within;
  return [seriesAgainstSeries(question, selection)];
}

/** Counts of one outcome and the pool of each site, by the protocol or the options. */
export function selectedCounts(
  review: ReviewForCertainty,
  question: Pick<CertaintyQuestion, 'outcome'>,
  options: CertaintyOptions = {},
): SelectedCounts {
  const { outcome, arms } = selectEvents(review, question.outcome, options.departures);
  const pooling = options.pooling ?? protocolOptions(review.protocol, outcome);
  const quote = options.pooling === undefined ? quotePolicyOf(review.protocol) : 'as-pooled';
  const pools = quoteSites(poolBySite(arms, pooling), pooling, quote);
  return { outcome, arms, options: pooling, pools, quote };
}

/** What the protocol says of the quoted number; without a word the rule decides. */
export const quotePolicyOf = ({ analysis }: Review['protocol']): QuotePolicy => analysis.quoted ?? 'by-rule';

const poolAt = ({ pools }: SelectedCounts, place: PooledSite): PooledRate =>
  pools.sites.find(({ site }) => site === place)!.pool;

function seriesAgainstSeries({ site, comparator }: ComparisonQuestion, counts: SelectedCounts): Candidate {
  const at = (place: PooledSite) => counts.pools.sites.find((each) => each.site === place)!;
  const [one, other] = [at(site), at(comparator)];
  // The contrast goes from the first of its sites to the second, so the question's own order is given to it.
  const [difference] = contrastSingleArms({ ...counts.pools, sites: [one, other] }).differences;
  return { body: seriesBody(counts.outcome, difference!, one.pool, other.pool), smallStudies: [] };
}

type AskedOfPair = { readonly [Key in 'measure' | 'baselines']: PairOptions[Key] | undefined };

function pairOptionsFrom(
  pooling: RatePoolOptions,
  policy: QuotePolicy,
  { measure, baselines }: AskedOfPair,
): PairOptions {
  const quote = policy === 'as-pooled' ? undefined : policy;
  const { model, betweenStudyVariance, interval, varianceInterval, prediction, zeroEvents, level } = pooling;
  const given = {
    model,
    betweenStudyVariance,
    interval,
    varianceInterval,
    prediction,
    zeroEvents,
    level,
    measure,
    baselines,
    quote,
  };
  return Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined));
}
