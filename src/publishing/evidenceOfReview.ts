import { certaintyOfReview } from '../certainty/certaintyOfReview.ts';
import type { CertaintyRating } from '../certainty/certaintyRating.ts';
import { openDecisions } from '../certainty/openDecisions.ts';
import { studyQuality } from '../certainty/quality/studyQuality.ts';
import type { BaselineRisk } from '../comparison/pairs/comparePairs.ts';
import { estimateScoreContrasts } from '../effects/scores/estimateScoreContrasts.ts';
import { selectScores } from '../effects/scores/selectScores.ts';
import type { EventsOutcome } from '../extraction/protocol.ts';
import type { Review } from '../extraction/review.ts';
import { selectEvents } from '../extraction/selectEvents.ts';
import { type PooledSite, pooledSites, siteNames } from '../extraction/site.ts';
import { forestPlot } from '../figures/forestPlot.ts';
import { sitesOverview } from '../figures/sitesOverview.ts';
import { poolBySite } from '../pooling/poolBySite.ts';
import { poolEstimates } from '../pooling/poolEstimates.ts';
import { protocolOptions } from '../pooling/protocolOptions.ts';
import { mostOutcomes } from '../tables/evidence/findingsText.ts';
import type { ComparisonFindings, EvidenceFigure, EvidenceParts } from '../tables/evidenceDocument.ts';
import type { ScoreFinding } from '../tables/summaryOfFindings.ts';
import { clinicalCaution, inventedDataNotice } from './pageFacts.ts';

/** Which parts of the evidence are worked out; without options all of them. */
export interface EvidenceOptions {
  /** Pairs of sites, first against second; default all pairs some study compares for some outcome. */
  readonly pairs?: readonly (readonly [site: PooledSite, comparator: PooledSite])[];
  /** Outcomes counted as events, by id; default those of the protocol's first seven. */
  readonly outcomes?: readonly string[];
  /** A forest picture of each outcome beside the overview; default true. */
  readonly forests?: boolean;
}

/**
 * Everything an evidence document of a review is made of: ratings of every rate and comparison, scores, pictures and
 * methods, by the protocol's own choices.
 *
 * @throws RangeError as {@link certaintyOfReview}
 * @example
 * evidenceDocument(review, evidenceOfReview(review, { pairs: [['subpectoral', 'tenotomy']] }))
 */
export function evidenceOfReview(review: Review, options: EvidenceOptions = {}): EvidenceParts {
  const { protocol } = review;
  const outcomes = protocol.outcomes
    .slice(0, mostOutcomes)
    .filter((each): each is EventsOutcome => each.kind === 'events')
    .filter(({ id }) => options.outcomes?.includes(id) ?? true);
  const rates = outcomes.flatMap(({ id }) =>
    protocol.sites.map((site) => certaintyOfReview(review, { kind: 'rate', outcome: id, site })),
  );
  const compared = (site: PooledSite, comparator: PooledSite): ComparisonFindings => ({
    ratings: outcomes.map(({ id }) =>
      certaintyOfReview(
        review,
        { kind: 'comparison', outcome: id, site, comparator },
        { baselines: baselinesFrom(rates, id, comparator) },
      ),
    ),
    scores: scoresOf(review, site, comparator),
  });
  const pairs = options.pairs ?? pairsIn(review);
  const comparisons = pairs.map(([site, comparator]) => compared(site, comparator));
  return {
    rates,
    comparisons,
    quality: studyQuality(review),
    openDecisions: openDecisions(review),
    ...picturesOf(review, outcomes, options.forests ?? true),
    departures: [],
    notice: protocol.inventedData ? (protocol.notice ?? inventedDataNotice) : undefined,
    caution: clinicalCaution,
  };
}

/** The risk at the comparator in all arms of the review: often the one most like the reader's patients. */
function baselinesFrom(
  rates: readonly CertaintyRating[],
  outcome: string,
  comparator: PooledSite,
): readonly BaselineRisk[] {
  const found = rates.find(({ question }) => question.outcome === outcome && question.site === comparator);
  const risk = (found?.body.estimate?.value ?? 0) / 100;
  if (!(risk > 0 && risk < 1)) return [];
  return [{ risk, source: `All ${siteNames[comparator].toLowerCase()} arms of the review, pooled` }];
}

/** Pairs of the protocol's sites that at least one study holds, proximal before distal, tenotomy last. */
function pairsIn(review: Review): readonly (readonly [PooledSite, PooledSite])[] {
  const arms = review.protocol.outcomes
    .filter(({ kind }) => kind === 'events')
    .flatMap(({ id }) => selectEvents(review, id).arms);
  const bySite = (site: string) => new Set(arms.filter((arm) => arm.site === site).map(({ study }) => study));
  const sites = pooledSites.filter((site) => review.protocol.sites.includes(site));
  return sites.flatMap((site, at) => {
    const own = bySite(site);
    return sites
      .slice(at + 1)
      .filter((other) => [...bySite(other)].some((study) => own.has(study)))
      .map((other) => [site, other] as const);
  });
}

function scoresOf(review: Review, treated: PooledSite, comparator: PooledSite): readonly ScoreFinding[] {
  const { model, betweenStudyVariance, interval, prediction, level } = review.protocol.analysis;
  return review.protocol.outcomes.slice(0, mostOutcomes).flatMap((outcome): ScoreFinding[] => {
    if (outcome.kind !== 'score') return [];
    const { arms } = selectScores(review, outcome.id);
    for (const scale of outcome.scales) {
      const onScale = arms.filter((arm) => arm.scale === scale);
      const { estimates, leftOut } = estimateScoreContrasts(onScale, { treated, comparator, scale });
      if (estimates.length === 0) continue;
      const pool = poolEstimates(estimates, {
        model,
        betweenStudyVariance,
        interval,
        prediction,
        level,
        leftOut,
        scale: 'mean-difference',
      });
      const known = review.protocol.scales.find(({ id }) => id === scale);
      const [range] = known?.ranges ?? [];
      const points = range === undefined ? 'points' : `points of ${range.minimum} to ${range.maximum}`;
      return [{ outcome: outcome.id, scale: `${known?.name ?? scale}, ${points}`, pool }];
    }
    return [];
  });
}

function picturesOf(
  review: Review,
  outcomes: readonly EventsOutcome[],
  forests: boolean,
): { readonly figures: readonly EvidenceFigure[]; readonly methods: readonly string[] } {
  const notice = review.protocol.inventedData ? { notice: inventedDataNotice } : {};
  const pooled = outcomes.map((outcome) => ({
    outcome,
    pools: poolBySite(selectEvents(review, outcome.id).arms, protocolOptions(review.protocol, outcome)),
  }));
  if (pooled.length === 0) return { figures: [], methods: [] };
  const title = 'Rates by site, per 100 shoulders';
  const overview = sitesOverview(
    pooled.map(({ outcome, pools }) => ({ outcome: outcome.name, pools })),
    { width: '190mm', idPrefix: 'evidence-overview', title, ...notice },
  );
  const drawn = [
    { title, svg: overview },
    ...(forests ? pooled : []).map(({ outcome, pools }) => {
      const name = `${outcome.name}, per 100 shoulders: every study`;
      return {
        title: name,
        svg: forestPlot(pools, {
          width: '190mm',
          idPrefix: `evidence-${outcome.id}`,
          title: name,
          ...notice,
        }),
      };
    }),
  ];
  const sentences = pooled.flatMap(({ outcome, pools }) => {
    const first = pools.sites.find(({ pool }) => pool.arms.length > 0);
    return first === undefined
      ? []
      : [`${outcome.name}, ${first.name.toLowerCase()}: ${first.pool.methodsSentence}`];
  });
  return {
    figures: drawn.map((figure) => ({ ...figure, description: descriptionOf(figure.svg) })),
    methods: [...sentences.slice(0, 1), ...methodsOfDocument(review)],
  };
}

/** What the pools' own sentence does not say. */
function methodsOfDocument({ protocol }: Review): readonly string[] {
  return [
    'The other outcomes and sites are pooled in the same way, each by itself.',
    'One site is set against another by odds ratios within the studies that hold both, pooled with the same model; trials and other studies are rated apart and never mixed, and the body of more certainty is shown. Where no study holds both sites, series of one are set against series of the other, and the row says so.',
    'A difference in 1000 is the pooled odds ratio applied to the risk named in the row.',
    `Certainty follows GRADE: rates start high, comparisons start high for trials and low for other studies. Every domain proposes a judgement from the data; where people decided, their decision counts. Differences that matter are those of the protocol (${sourcesOf(protocol)}).`,
  ];
}

const sourcesOf = (protocol: Review['protocol']): string =>
  [
    ...new Set(
      protocol.outcomes.flatMap((outcome) =>
        outcome.kind === 'events' ? [outcome.thresholdsPer100.source] : [],
      ),
    ),
  ].join('; ');

/** The description a figure carries for those who cannot see it. */
function descriptionOf(svg: string): string {
  const text = /<desc[^>]*>([\s\S]*?)<\/desc>/.exec(svg)?.[1] ?? '';
  const names: Readonly<Record<string, string>> = { lt: '<', gt: '>', quot: '"', apos: "'", amp: '&' };
  return text
    .replace(/&(lt|gt|quot|apos|amp);|&#(\d+);/g, (_, name?: string, code?: string) =>
      name === undefined ? String.fromCodePoint(Number(code)) : names[name]!,
    )
    .replace(/\s+/g, ' ')
    .trim();
}
