import { certaintyOfReview } from '../../certainty/certaintyOfReview.ts';
import type { CertaintyQuestion } from '../../certainty/certaintyQuestion.ts';
import { missingRecords } from '../../certainty/decisionsOfReview.ts';
import { studyQuality } from '../../certainty/quality/studyQuality.ts';
import { comparePairs } from '../../comparison/pairs/comparePairs.ts';
import { estimateMeans } from '../../effects/scores/estimateMeans.ts';
import { selectScores } from '../../effects/scores/selectScores.ts';
import type { Comparison } from '../../extraction/agreement/compareExtractions.ts';
import { flowCounts } from '../../extraction/flowCounts.ts';
import { midGrooveRules } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { selectEvents } from '../../extraction/selectEvents.ts';
import { pooledSites } from '../../extraction/site.ts';
import { checkChoice, checkOptionNames } from '../../pooling/optionChecks.ts';
import { poolBySite } from '../../pooling/poolBySite.ts';
import { poolEstimates } from '../../pooling/poolEstimates.ts';
import { protocolOptions } from '../../pooling/protocolOptions.ts';
import { whatWouldChange } from '../../robustness/influence/whatWouldChange.ts';
import { missingEvidence } from '../../robustness/missing/missingEvidence.ts';
import { judgeMissingEvidence } from '../../robustness/missing/missingJudgement.ts';
import type {
  EventsResults,
  ManuscriptInput,
  ScoreResults,
} from '../../tables/manuscript/manuscriptInput.ts';

/** Whose certainty is rated: every answer, the rates at each site, or none. */
export const certaintyRated = ['all', 'rates', 'none'] as const;
export type CertaintyRated = (typeof certaintyRated)[number];

export interface ManuscriptResultsOptions {
  /** Named in the methods section. */
  readonly software?: NonNullable<ManuscriptInput['software']>;
  /** Two extractors' sheets held against each other, where there are two. */
  readonly agreement?: Comparison;
  /** What the protocol changed since earlier versions of the review, in sentences. */
  readonly amendments?: readonly string[];
  /** Which answers to rate: rating all of them takes as long as the rest together. Default `all`. */
  readonly certainty?: CertaintyRated;
}

/**
 * Everything a manuscript of this review is written from, analysed as the protocol says.
 *
 * @example
 * manuscriptText(manuscriptResults(review, { software: { name: 'tenosite', version: '0.1.0' } }))
 */
export function manuscriptResults(review: Review, options: ManuscriptResultsOptions = {}): ManuscriptInput {
  checkOptionNames(options, [
    'software',
    'agreement',
    'amendments',
    'certainty',
  ] satisfies (keyof ManuscriptResultsOptions)[]);
  const { software, agreement, amendments } = options;
  const rated = checkChoice('certainty', options.certainty ?? 'all', certaintyRated);
  const outcomes = review.protocol.outcomes.flatMap((outcome) =>
    outcome.kind === 'events' ? [eventsResults(review, outcome.id)] : [],
  );
  const scores = review.protocol.outcomes.flatMap((outcome) =>
    outcome.kind === 'score' ? scoreResults(review, outcome.id) : [],
  );
  const questions = outcomes.flatMap(({ selection, pools, pairs }): CertaintyQuestion[] => [
    ...pools.sites.flatMap(({ site, pool }): CertaintyQuestion[] =>
      pool.arms.length === 0 ? [] : [{ kind: 'rate', outcome: selection.outcome.id, site }],
    ),
    ...(pairs?.pairs ?? []).flatMap(({ treatment, comparator, studies }): CertaintyQuestion[] =>
      studies.length === 0
        ? []
        : [{ kind: 'comparison', outcome: selection.outcome.id, site: treatment, comparator }],
    ),
  ]);
  const missing = missingEvidence(review);
  return {
    review,
    flow: flowCounts(review.flow, review.studies),
    outcomes,
    scores,
    missing,
    missingJudgements: judgeMissingEvidence(missing, missingRecords(review)),
    quality: studyQuality(review),
    certainty: questions
      .filter(({ kind }) => rated === 'all' || (rated === 'rates' && kind === 'rate'))
      .map((question) => certaintyOfReview(review, question)),
    ...(software === undefined ? {} : { software }),
    ...(agreement === undefined ? {} : { agreement }),
    ...(amendments === undefined ? {} : { amendments }),
  };
}

function eventsResults(review: Review, id: string): EventsResults {
  const selection = selectEvents(review, id);
  const options = protocolOptions(review.protocol, selection.outcome);
  const pools = poolBySite(selection.arms, options);
  const { scale: _, leftOut: __, materialDifference: ___, ...pairOptions } = options;
  return {
    selection,
    pools,
    changes: pools.sites.map(({ name, pool }) => ({
      name,
      studies: pool.studies,
      // The text quotes omissions and the size test only, so one small sample of subsets is enough.
      changes: whatWouldChange(pool, { exhaustiveUpTo: 2 }),
    })),
    midGroove: midGrooveRules.map((rule) => ({
      rule,
      pools: poolBySite(selectEvents(review, id, { siteRule: { midGroove: rule } }).arms, options),
    })),
    pairs: comparePairs(selection.arms, pairOptions),
  };
}

/** Means on the scale most arms use; a score nobody reports gives nothing. */
function scoreResults(review: Review, id: string): readonly ScoreResults[] {
  const selection = selectScores(review, id);
  const { model, betweenStudyVariance, interval, prediction, level } = review.protocol.analysis;
  const counts = new Map<string, number>();
  for (const { scale } of selection.arms) counts.set(scale, (counts.get(scale) ?? 0) + 1);
  const scale = [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
  const first = selection.arms.find((arm) => arm.scale === scale);
  if (scale === undefined || first === undefined) return [];
  const sites = pooledSites.map((site) => {
    const { estimates, leftOut } = estimateMeans(
      selection.arms.filter((arm) => arm.site === site),
      { scale },
    );
    const options = {
      model,
      betweenStudyVariance,
      interval,
      prediction,
      level,
      leftOut,
      scale: 'plain',
    } as const;
    return { site, pool: poolEstimates(estimates, options) };
  });
  return [{ selection, scaleName: first.scaleName, range: first.range, sites }];
}
