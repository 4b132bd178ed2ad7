import { answersOf, ratingsOf } from '../answers/answersOf.ts';
import { openDecisions } from '../answers/openDecisions.ts';
import type { CertaintyQuestion } from '../certainty/certaintyQuestion.ts';
import type { CertaintyRating } from '../certainty/certaintyRating.ts';
import { compareReviews } from '../extraction/changes/compareReviews.ts';
import type { ReviewVersion } from '../extraction/changes/reviewVersion.ts';
import type { SoftwareVersion } from '../extraction/provenance/provenance.ts';
import { isReported } from '../extraction/reported.ts';
import type { Review } from '../extraction/review.ts';
import { inSiteOrder } from '../extraction/site.ts';
import { checkChoice, checkOptionNames } from '../pooling/optionChecks.ts';
import { type AnswerMemory, type AnswerTold, answersTold } from './answerTold.ts';
import type { AnswerChange, ChangeReport, SavedNumber } from './changeReport.ts';
import { certaintyKey, compareCertaintyRatings } from './compareCertainty.ts';
import { compareConclusions } from './compareConclusions.ts';
import { compareRecommendations } from './compareRecommendations.ts';
import { headlineOf } from './headline.ts';
import { type ChangeCause, causesAtWork, dataCauses, mixReviews } from './mixReviews.ts';
import { type CauseSplit, splitByCause } from './splitByCause.ts';

/** Numbers a version printed, as its own saved report gives them. */
export interface SavedAnswers {
  /** By the id of the answer. */
  readonly values: Readonly<Record<string, SavedNumber>>;
  readonly software?: SoftwareVersion;
}

/** Questions whose certainty is compared. */
export const certaintiesWanted = ['recommendations', 'conclusions', 'none'] as const;
export type CertaintyWanted = (typeof certaintiesWanted)[number];

export interface CompareVersionsOptions {
  /**
   * Whose certainty is followed domain by domain: what recommendations rest on (default), every conclusion as well, or
   * none. The level of each answer is compared in any case.
   */
  readonly certainty?: CertaintyWanted;
  /** What the earlier version printed; the difference from the same data under today's software is the software's part. */
  readonly saved?: SavedAnswers;
  /** Which program makes this report. */
  readonly software?: SoftwareVersion;
}

/**
 * What changed since the last version of a review, why, and does what was recommended still stand?
 *
 * Every number is worked out again for both versions, and for the versions that never were: the earlier data under the
 * later rules, the earlier data with the new studies only, and so on. From these each change is split among studies added,
 * studies removed, cells corrected, rules and (where the earlier printed numbers are given) software, by
 * {@link splitByCause} with the three kinds of data change as one group. Splits are on the scale the number is printed on:
 * events per 100 shoulders, or points.
 *
 * @throws RangeError for an unknown option
 * @example
 * const report = compareVersions({ name: '2025', review: old, files }, { name: '2026', review, files });
 * report.headline.join(' ')
 */
export function compareVersions(
  before: ReviewVersion,
  after: ReviewVersion,
  options: CompareVersionsOptions = {},
): ChangeReport {
  checkOptionNames(options, ['certainty', 'saved', 'software'] satisfies (keyof CompareVersionsOptions)[]);
  const wanted = checkChoice('certainty', options.certainty ?? 'recommendations', certaintiesWanted);
  const changes = compareReviews(before, after);
  const causes = causesAtWork(changes);
  const memory: AnswerMemory = new Map();
  const states = new Map<string, ReadonlyMap<string, AnswerTold>>();
  const answersUnder = (applied: ReadonlySet<ChangeCause>): ReadonlyMap<string, AnswerTold> => {
    const key = causes.filter((cause) => applied.has(cause)).join('+');
    const known = states.get(key);
    if (known !== undefined) return known;
    const made = answersTold(mixReviews(before.review, after.review, changes, applied), memory);
    states.set(key, made);
    return made;
  };
  const earlier = answersTold(before.review, memory);
  const later = answersTold(after.review, memory);
  const saved = options.saved?.values ?? {};
  const answers = [...new Set([...later.keys(), ...earlier.keys()])].map((key): AnswerChange => {
    const own = Object.hasOwn(saved, key) ? saved[key] : undefined;
    const split = splitOf(causes, (applied) => answersUnder(applied).get(key)?.value, own?.value);
    return { key, before: earlier.get(key), after: later.get(key), saved: own, split };
  });
  const resting = after.review.recommendations.length > 0 ? after.review : before.review;
  const questions = wanted === 'none' ? [] : questionsToRate(resting, answers, wanted);
  const ratings = {
    before: ratingsFor(before.review, questions),
    after: ratingsFor(after.review, questions),
  };
  const conclusions = compareConclusions(answers, causes, (key, applied) => answersUnder(applied).get(key));
  const recommendations = compareRecommendations(
    { ...after.review, recommendations: resting.recommendations },
    { answers: earlier },
    { answers: later },
  );
  const { protocol, awaiting } = after.review;
  return {
    kind: 'change-report',
    headline: headlineOf(changes, recommendations, conclusions),
    changes,
    inventedData: protocol.inventedData,
    notice: protocol.notice,
    title: protocol.title,
    causes: options.saved === undefined ? causes : [...causes, 'software'],
    recommendations,
    conclusions,
    answers,
    certainty:
      wanted === 'none' ? undefined : compareCertaintyRatings(ratings.before, ratings.after, after.review),
    openDecisions: wanted === 'none' ? undefined : openDecisions(after.review),
    awaiting,
    software: { before: options.saved?.software, after: options.software },
    methodsSentence: methodsSentence(options.saved !== undefined),
  };
}

/** What recommendations rest on, and with `conclusions` every pair of sites that studies compare. */
function questionsToRate(
  resting: Review,
  answers: readonly AnswerChange[],
  wanted: CertaintyWanted,
): readonly CertaintyQuestion[] {
  const known = new Map<string, CertaintyQuestion>();
  const add = (question: CertaintyQuestion): void => void known.set(certaintyKey(question), question);
  if (wanted === 'conclusions') {
    for (const { before, after } of answers) {
      const { question } = (after ?? before)!;
      if (question.kind !== 'comparison' || (before?.studies ?? 0) + (after?.studies ?? 0) === 0) continue;
      add(question);
    }
  }
  for (const { outcome, site, comparator } of resting.recommendations) {
    if (!isReported(comparator)) {
      add({ kind: 'rate', outcome, site });
      continue;
    }
    // In the order in which differences are told, so that a question is not rated twice.
    const [one, other] = inSiteOrder(site, comparator);
    add({ kind: 'comparison', outcome, site: one, comparator: other });
  }
  return [...known.values()];
}

/** Ratings of one version, of the questions its protocol asks. */
function ratingsFor(review: Review, questions: readonly CertaintyQuestion[]): readonly CertaintyRating[] {
  const wanted = new Set(questions.map(certaintyKey));
  return ratingsOf(answersOf(review), (question) => wanted.has(certaintyKey(question)));
}

/** The split of one number; what the software moved is the step from the printed number to the same one worked out now. */
function splitOf(
  causes: readonly ChangeCause[],
  value: (applied: ReadonlySet<ChangeCause>) => number | undefined,
  saved: number | undefined,
): CauseSplit<ChangeCause> | undefined {
  const data = causes.filter((cause) => (dataCauses as readonly ChangeCause[]).includes(cause));
  const split = splitByCause<ChangeCause>([data, causes.filter((cause) => cause === 'rules')], value);
  const start = value(new Set());
  if (split === undefined || saved === undefined || start === undefined) return split;
  const part = start - saved;
  return {
    total: split.total + part,
    parts: [...split.parts, { cause: 'software', value: part, lowest: part, highest: part }],
    orders: split.orders,
  };
}

function methodsSentence(withSoftware: boolean): string {
  return `Both versions were pooled again as their own protocols say, and so were the versions in between: each change was split among studies added, studies removed, cells corrected and rules as the average over the orders in which these can come (Shapley 1953, with the data changes as one group, Owen 1977), on the scale the number is printed on${withSoftware ? '; what the same data and rules give today less what was printed then is the part of the software' : ''}. A conclusion is where the interval of a difference lies against the smallest difference that matters in the protocol, and nothing is concluded at very low certainty; p values play no part.`;
}
