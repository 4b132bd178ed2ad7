import type { CertaintyQuestion, ComparisonQuestion, RateQuestion } from '../certainty/certaintyQuestion.ts';
import { type PooledSite, siteNames } from '../extraction/site.ts';

export type { ComparisonQuestion, RateQuestion } from '../certainty/certaintyQuestion.ts';

/** What is the mean score at one site? */
export interface MeanQuestion {
  readonly kind: 'mean';
  /** The score's id in the protocol. */
  readonly outcome: string;
  readonly site: PooledSite;
  /** Scale by its id: arms on two scales give two answers, never one average. */
  readonly scale: string;
}

/** By how many points do two sites' scores differ? */
export interface MeanDifferenceQuestion {
  readonly kind: 'mean difference';
  readonly outcome: string;
  /** First less second. */
  readonly site: PooledSite;
  readonly comparator: PooledSite;
  readonly scale: string;
}

/** Kinds of question a review answers. */
export const questionKinds = ['rate', 'comparison', 'mean', 'mean difference'] as const;
export type QuestionKind = (typeof questionKinds)[number];

/** One question a reader asks. Two sites stand in one order only: proximal first, tenotomy last. */
export type Question = RateQuestion | ComparisonQuestion | MeanQuestion | MeanDifferenceQuestion;

/** Questions about counts, whose answers have a certainty. */
export const isAboutCounts = (question: Question): question is CertaintyQuestion =>
  question.kind === 'rate' || question.kind === 'comparison';

/**
 * One text for a question, the same in every version of a review and on every product that prints its answer.
 *
 * @example
 * answerId({ kind: 'comparison', outcome: 'revision', site: 'subpectoral', comparator: 'tenotomy' })
 * // 'comparison:revision:subpectoral:tenotomy'
 */
export function answerId(question: Question): string {
  const { kind, outcome, site } = question;
  return [
    kind.replace(' ', '-'),
    outcome,
    site,
    ...('comparator' in question ? [question.comparator] : []),
    ...('scale' in question ? [question.scale] : []),
  ].join(':');
}

/** What the answer is about: `Subpectoral`, or `Subpectoral against tenotomy`. */
export const questionName = (question: Question): string =>
  'comparator' in question
    ? `${siteNames[question.site]} against ${siteNames[question.comparator].toLowerCase()}`
    : siteNames[question.site];
