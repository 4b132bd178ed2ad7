import { quotePolicyOf } from '../certainty/certaintyOfReview.ts';
import type { CertaintyQuestion } from '../certainty/certaintyQuestion.ts';
import type { CertaintyRating } from '../certainty/certaintyRating.ts';
import type { ScoreSelection } from '../effects/scores/scoreSelection.ts';
import { selectScores } from '../effects/scores/selectScores.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';
import type { EventSelection, SelectionDepartures } from '../extraction/eventSelection.ts';
import type { EventsOutcome, ScoreOutcome } from '../extraction/protocol.ts';
import type { Review } from '../extraction/review.ts';
import { selectEvents } from '../extraction/selectEvents.ts';
import { pooledSites } from '../extraction/site.ts';
import { checkOptionNames } from '../pooling/optionChecks.ts';
import { poolBySite, type SitePools } from '../pooling/poolBySite.ts';
import { protocolOptions } from '../pooling/protocolOptions.ts';
import { type QuotePolicy, quoteSites } from '../pooling/quoteSites.ts';
import type { RatePoolOptions } from '../pooling/ratePoolOptions.ts';
import type { Answer } from './answer.ts';
import { comparisonAnswer, rateAnswer } from './countAnswers.ts';
import { networkRatingsOf } from './networkAnswers.ts';
import { answerId, isAboutCounts, type Question } from './question.ts';
import { meanAnswer, meanDifferenceAnswer, scalesInOrder } from './scoreAnswers.ts';

/** The parts of a review that answers are made from. */
export type ReviewForAnswers = Pick<
  Review,
  'protocol' | 'studies' | 'arms' | 'events' | 'scores' | 'judgements' | 'certainty' | 'missing'
>;

/** What may be done otherwise than the protocol says. */
export interface AnswerDepartures {
  readonly selection?: SelectionDepartures;
  readonly pooling?: Omit<RatePoolOptions, 'leftOut'>;
  /** Studies taken out before arms are selected, as if nobody had found them. */
  readonly notFound?: readonly string[];
  /** Studies whose selected arms do not count; no other report of the same patients moves up in their place. */
  readonly switchedOff?: readonly string[];
}

/** One outcome's counts: what was selected, and each site's pool, whose `answer` is the id of its question. */
export interface OutcomeCounts {
  readonly outcome: EventsOutcome;
  readonly selection: EventSelection;
  /** The arms that count: those selected, without studies switched off. */
  readonly arms: readonly ArmEvents[];
  readonly options: RatePoolOptions;
  readonly pools: SitePools;
  /** Which number is quoted of them. */
  readonly quote: QuotePolicy;
}

/** The answers of one review, each worked out when it is first asked for, and once. */
export interface ReviewAnswers {
  readonly kind: 'review-answers';
  readonly review: ReviewForAnswers;
  readonly departures: AnswerDepartures;
  /** Every question the review asks, in the order of its protocol: rates, comparisons, means, differences of means. */
  readonly questions: readonly Question[];
  /**
   * The answer to a question, asked as such or by its id.
   *
   * @throws RangeError for a question the review does not ask
   */
  readonly to: (question: Question | string) => Answer;
  /** Counts of one outcome. */
  readonly counts: (outcome: string) => OutcomeCounts;
  /** What was selected of one score. */
  readonly scores: (outcome: string) => ScoreSelection;
  /** All answers, in the order of the questions. */
  readonly all: () => readonly Answer[];
}

/** Sets of departures kept for one review. */
const mostDepartures = 24;

const known = new WeakMap<ReviewForAnswers, Map<string, ReviewAnswers>>();

/**
 * The one answer to each question of a review: which studies answer it, which number is quoted and why, the risk it is
 * said at, how sure one may be, and what may be said.
 *
 * Rates of each outcome at each site; comparisons of each pair of sites, proximal first; means of each score at each
 * site and their differences, on every scale that arms were measured on, the protocol's first scale first. Answers of
 * one review (and one set of departures) are worked out once however often they are asked for. A review must not be
 * changed in place after it was asked.
 *
 * @param departures choices that differ from the protocol; the answers then are not the review's
 * @throws RangeError for an unknown departure
 * @see docs/methods-answers.md for the rules.
 * @example
 * answersOf(review).to('rate:revision:subpectoral').quoted?.value
 */
export function answersOf(review: ReviewForAnswers, departures: AnswerDepartures = {}): ReviewAnswers {
  checkOptionNames(departures, [
    'selection',
    'pooling',
    'notFound',
    'switchedOff',
  ] satisfies (keyof AnswerDepartures)[]);
  const byDepartures = known.get(review) ?? new Map<string, ReviewAnswers>();
  known.set(review, byDepartures);
  const key = JSON.stringify(departures);
  const made = byDepartures.get(key) ?? workOut(review, departures);
  byDepartures.delete(key);
  byDepartures.set(key, made);
  // A reader of the live page passes through many states; the oldest go.
  const [oldest] = byDepartures.keys();
  if (byDepartures.size > mostDepartures && oldest !== undefined) byDepartures.delete(oldest);
  return made;
}

/** Keeps what a function gave for each key. */
function once<Value>(make: (key: string) => Value): (key: string) => Value {
  const kept = new Map<string, Value>();
  return (key) => {
    const known = kept.get(key);
    if (known !== undefined) return known;
    const value = make(key);
    kept.set(key, value);
    return value;
  };
}

function workOut(given: ReviewForAnswers, departures: AnswerDepartures): ReviewAnswers {
  const missing = new Set(departures.notFound ?? []);
  const review: ReviewForAnswers =
    missing.size === 0
      ? given
      : {
          ...given,
          events: given.events.filter(({ study }) => !missing.has(study)),
          scores: given.scores.filter(({ study }) => !missing.has(study)),
        };
  const { protocol } = review;
  const off = new Set(departures.switchedOff ?? []);
  const asPlanned = Object.keys(departures).length === 0;
  const counts = once((id: string): OutcomeCounts => {
    const selection = selectEvents(review, id, departures.selection);
    const { outcome } = selection;
    const arms = off.size === 0 ? selection.arms : selection.arms.filter(({ study }) => !off.has(study));
    const options = { ...protocolOptions(protocol, outcome), ...departures.pooling };
    // Who chose a pool of his own is told that pool's number.
    const quote = departures.pooling === undefined ? quotePolicyOf(protocol) : 'as-pooled';
    const pools = quoteSites(poolBySite(arms, options), options, quote);
    return {
      outcome,
      selection,
      arms,
      options,
      quote,
      pools: {
        ...pools,
        sites: pools.sites.map((pool) =>
          asPlanned ? { ...pool, answer: answerId({ kind: 'rate', outcome: id, site: pool.site }) } : pool,
        ),
      },
    };
  });
  const scores = once((id: string): ScoreSelection => {
    const selection = selectScores(review, id);
    return off.size === 0
      ? selection
      : { ...selection, arms: selection.arms.filter(({ study }) => !off.has(study)) };
  });
  const counted = protocol.outcomes.filter((each): each is EventsOutcome => each.kind === 'events');
  const measured = protocol.outcomes.filter((each): each is ScoreOutcome => each.kind === 'score');
  const sites = pooledSites.filter((site) => protocol.sites.includes(site));
  const pairs = sites.flatMap((site, at) => sites.slice(at + 1).map((comparator) => ({ site, comparator })));
  const questions: readonly Question[] = [
    ...counted.flatMap(({ id: outcome }): Question[] => [
      ...sites.map((site): Question => ({ kind: 'rate', outcome, site })),
      ...pairs.map((pair): Question => ({ kind: 'comparison', outcome, ...pair })),
    ]),
    ...measured.flatMap(({ id: outcome }): Question[] =>
      scalesInOrder(scores(outcome)).flatMap((scale): Question[] => [
        ...sites.map((site): Question => ({ kind: 'mean', outcome, site, scale })),
        ...pairs.map((pair): Question => ({ kind: 'mean difference', outcome, ...pair, scale })),
      ]),
    ),
  ];
  const asked = new Map(questions.map((question) => [answerId(question), question]));
  const answer = once((id: string): Answer => {
    const question = asked.get(id);
    if (question === undefined)
      throw new RangeError(
        `question must be one the review asks (such as ${[...asked.keys()].slice(0, 3).join(', ')}), received "${id}"`,
      );
    switch (question.kind) {
      case 'rate':
        return rateAnswer(review, question, counts(question.outcome));
      case 'comparison':
        return comparisonAnswer(review, question, counts(question.outcome), () =>
          networkRatingsOf(answers, question.outcome),
        );
      case 'mean':
        return { ...meanAnswer(review, question, scores(question.outcome)), asPlanned };
      case 'mean difference':
        return { ...meanDifferenceAnswer(review, question, scores(question.outcome)), asPlanned };
    }
  });
  const answers: ReviewAnswers = {
    kind: 'review-answers',
    review,
    departures,
    questions,
    to: (question) => answer(typeof question === 'string' ? question : answerId(question)),
    counts,
    scores,
    all: () => questions.map((question) => answer(answerId(question))),
  };
  return answers;
}

/** Every rating behind a review's answers about counts, in the order of the questions, for tables of certainty. */
export const ratingsOf = (
  answers: ReviewAnswers,
  wanted: (question: CertaintyQuestion) => boolean = () => true,
): readonly CertaintyRating[] =>
  answers.questions.flatMap((question) =>
    isAboutCounts(question) && wanted(question) ? (answers.to(question).behind.rating ?? []) : [],
  );
