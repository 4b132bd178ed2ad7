import { answersOf, type ReviewAnswers, ratingsOf } from '../answers/answersOf.ts';
import { networkRatingsOf } from '../answers/networkAnswers.ts';
import { openDecisions } from '../answers/openDecisions.ts';
import type { CertaintyRating } from '../certainty/certaintyRating.ts';
import { studyQuality } from '../certainty/quality/studyQuality.ts';
import type { EventsOutcome } from '../extraction/protocol.ts';
import type { Review } from '../extraction/review.ts';
import { type PooledSite, pooledSites } from '../extraction/site.ts';
import { forestPlot } from '../figures/forestPlot.ts';
import { sitesOverview } from '../figures/sitesOverview.ts';
import { mostOutcomes } from '../tables/evidence/findingsText.ts';
import type { ComparisonFindings, EvidenceFigure, EvidenceParts } from '../tables/evidenceDocument.ts';
import type { ScoreFinding } from '../tables/summaryOfFindings.ts';
import { measureName } from '../wording/ratioText.ts';
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
  const answers = answersOf(review);
  const ids = new Set(outcomes.map(({ id }) => id));
  const ratings = ratingsOf(answers, ({ outcome }) => ids.has(outcome));
  const rates = ratings.filter(({ question }) => question.kind === 'rate');
  const compared = (site: PooledSite, comparator: PooledSite): ComparisonFindings => ({
    ratings: outcomes.flatMap(({ id }) => comparisonRating(answers, id, site, comparator)),
    scores: scoresOf(answers, site, comparator),
  });
  const pairs = options.pairs ?? pairsIn(answers);
  const comparisons = pairs.map(([site, comparator]) => compared(site, comparator));
  return {
    rates,
    comparisons,
    networks: outcomes.map(({ id, name }) => ({ name, ratings: networkRatingsOf(answers, id) })),
    quality: studyQuality(review),
    openDecisions: openDecisions(review),
    ...picturesOf(review, outcomes, options.forests ?? true),
    departures: [],
    notice: protocol.inventedData ? (protocol.notice ?? inventedDataNotice) : undefined,
    caution: clinicalCaution,
  };
}

/** The rating of a pair, whichever site is named first: the answer's own, or rated anew the other way round. */
function comparisonRating(
  answers: ReviewAnswers,
  outcome: string,
  site: PooledSite,
  comparator: PooledSite,
): readonly CertaintyRating[] {
  return ratingsOf(
    answers,
    (question) =>
      question.kind === 'comparison' &&
      question.outcome === outcome &&
      question.site === site &&
      question.comparator === comparator,
  );
}

/** Pairs of the protocol's sites that at least one study holds, proximal before distal, tenotomy last. */
function pairsIn(answers: ReviewAnswers): readonly (readonly [PooledSite, PooledSite])[] {
  const found = new Map<string, readonly [PooledSite, PooledSite]>();
  for (const question of answers.questions)
    if (question.kind === 'comparison' && answers.to(question).body !== 'series against series')
      found.set(`${question.site} ${question.comparator}`, [question.site, question.comparator]);
  return [...found.values()].sort(
    (a, b) =>
      pooledSites.indexOf(a[0]) - pooledSites.indexOf(b[0]) ||
      pooledSites.indexOf(a[1]) - pooledSites.indexOf(b[1]),
  );
}

/** The difference in each score between two sites, on the protocol's first scale that gives one. */
function scoresOf(answers: ReviewAnswers, site: PooledSite, comparator: PooledSite): readonly ScoreFinding[] {
  const shown = new Set(answers.review.protocol.outcomes.slice(0, mostOutcomes).map(({ id }) => id));
  const told = new Map<string, ScoreFinding>();
  for (const question of answers.questions) {
    if (question.kind !== 'mean difference' || !shown.has(question.outcome)) continue;
    if (question.site !== site || question.comparator !== comparator || told.has(question.outcome)) continue;
    const answer = answers.to(question);
    if (answer.quoted !== undefined) told.set(question.outcome, { outcome: question.outcome, answer });
  }
  return [...told.values()];
}

function picturesOf(
  review: Review,
  outcomes: readonly EventsOutcome[],
  forests: boolean,
): { readonly figures: readonly EvidenceFigure[]; readonly methods: readonly string[] } {
  const notice = review.protocol.inventedData ? { notice: inventedDataNotice } : {};
  const answers = answersOf(review);
  const pooled = outcomes.map((outcome) => ({ outcome, pools: answers.counts(outcome.id).pools }));
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
  const measure = protocol.analysis.comparisonMeasure ?? 'odds-ratio';
  const bodies =
    protocol.analysis.comparisonBody === 'together'
      ? 'where both trials and other studies give an estimate they are pooled together, as the protocol asks, and every row of such a mixture names it'
      : 'trials and other studies are rated apart and never mixed, and the body of more certainty is shown';
  return [
    'Which number is quoted follows from the counts, by a rule made from the coverage of each method in simulated reviews; all sites of one outcome are quoted by one method, each from its own studies. DerSimonian-Laird stands beside every rate and every relative effect.',
    `One site is set against another by ${measureName(measure)}s within the studies that hold both, ${measure === 'odds-ratio' ? 'quoted by a rule of the same kind' : 'pooled with the same model'}; ${bodies}. Where no study holds both sites, series of one are set against series of the other, and the row says so.`,
    `A difference in 100 is the quoted ${measureName(measure)} applied to the risk named in the row; its interval holds the uncertainty of both.`,
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
