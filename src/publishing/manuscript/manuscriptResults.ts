import { answersOf, type ReviewAnswers, ratingsOf } from '../../answers/answersOf.ts';
import type { CertaintyQuestion } from '../../certainty/certaintyQuestion.ts';
import { missingRecords } from '../../certainty/decisionsOfReview.ts';
import { studyQuality } from '../../certainty/quality/studyQuality.ts';
import type { Comparison } from '../../extraction/agreement/compareExtractions.ts';
import { flowCounts } from '../../extraction/flowCounts.ts';
import { midGrooveRules } from '../../extraction/protocol.ts';
import type { Review } from '../../extraction/review.ts';
import { checkChoice, checkOptionNames } from '../../pooling/optionChecks.ts';
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
  const answers = answersOf(review);
  const outcomes = review.protocol.outcomes.flatMap((outcome) =>
    outcome.kind === 'events' ? [eventsResults(review, answers, outcome.id)] : [],
  );
  const scores = review.protocol.outcomes.flatMap((outcome) =>
    outcome.kind === 'score' ? scoreResults(answers, outcome.id) : [],
  );
  const asked = (question: CertaintyQuestion): boolean =>
    question.kind === 'rate'
      ? rated !== 'none' && (poolAt(answers, question)?.arms.length ?? 0) > 0
      : rated === 'all' && answers.to(question).body !== 'series against series';
  const missing = missingEvidence(review);
  return {
    review,
    flow: flowCounts(review.flow, review.studies),
    outcomes,
    scores,
    missing,
    missingJudgements: judgeMissingEvidence(missing, missingRecords(review)),
    quality: studyQuality(review),
    certainty: ratingsOf(answers, asked),
    ...(software === undefined ? {} : { software }),
    ...(agreement === undefined ? {} : { agreement }),
    ...(amendments === undefined ? {} : { amendments }),
  };
}

const poolAt = (answers: ReviewAnswers, { outcome, site }: CertaintyQuestion) =>
  answers.counts(outcome).pools.sites.find((each) => each.site === site)?.pool;

function eventsResults(review: Review, answers: ReviewAnswers, id: string): EventsResults {
  const { selection, pools } = answers.counts(id);
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
      pools: answersOf(review, { selection: { siteRule: { midGroove: rule } } }).counts(id).pools,
    })),
    comparisons: answers.questions.flatMap((question) =>
      question.kind === 'comparison' && question.outcome === id ? [answers.to(question)] : [],
    ),
  };
}

/** Means on every scale that arms were measured on, the protocol's first scale first; a score nobody reports gives nothing. */
function scoreResults(answers: ReviewAnswers, id: string): readonly ScoreResults[] {
  const selection = answers.scores(id);
  const means = answers.questions.flatMap((question) =>
    question.kind === 'mean' && question.outcome === id ? [{ question, answer: answers.to(question) }] : [],
  );
  return [...new Set(means.map(({ question }) => question.scale))].map((scale) => {
    const first = selection.arms.find((arm) => arm.scale === scale);
    return {
      selection,
      scaleName: first?.scaleName ?? scale,
      range: first?.range,
      sites: means
        .filter(({ question }) => question.scale === scale)
        .map(({ question, answer }) => ({ site: question.site, pool: answer.behind.means!, answer })),
    };
  });
}
