import type { Review } from '../../extraction/review.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import type { ArithmeticCheck, AuditKind } from './arithmeticCheck.ts';

/** What the audit reads; a review, or rows that have not passed all checks of one. */
export type AuditedSheets = Pick<Review, 'protocol' | 'studies' | 'arms' | 'events' | 'scores' | 'printed'>;

/** Standard deviations on one scale as shares of its width, one for each study, in order of size. */
export interface ScaleDeviations {
  readonly sorted: readonly number[];
  /** Place of each study among them. */
  readonly placeOf: ReadonlyMap<string, number>;
}

/** The sheets of one study, with what the others tell about its scales. */
export interface StudySheets extends AuditedSheets {
  /** By scale. */
  readonly deviations: ReadonlyMap<string, ScaleDeviations>;
}

/** One number a paper prints that its other numbers do not give. */
export interface AuditFinding {
  readonly kind: AuditKind;
  /** A contradiction cannot be right whatever was done; a question can, by a way the paper would have to name. */
  readonly strength: 'contradiction' | 'question';
  readonly study: string;
  readonly label: string;
  /** What the number is about, in words. */
  readonly subject: string;
  /** As printed. */
  readonly printed: string;
  /** What the counts give, as a sentence. */
  readonly counts: string;
  readonly wouldFit: readonly string[];
  /** What to ask the authors, as a sentence. */
  readonly question: string;
  readonly row: RowAddress;
  /** Rows it was held against. */
  readonly against: readonly RowAddress[];
}

/** A printed number nothing could be held against. */
export interface NotAudited {
  readonly study: string;
  readonly label: string;
  readonly subject: string;
  readonly printed: string;
  readonly reason: string;
  readonly row: RowAddress;
}

/** One check with what it was about. */
export interface AuditEntry {
  readonly check: ArithmeticCheck;
  readonly study: string;
  readonly subject: string;
  readonly printed: string;
  readonly row: RowAddress;
  readonly against: readonly RowAddress[];
}

/** What is asked about each kind of finding. */
export const auditQuestions: Readonly<Record<AuditKind, string>> = {
  percentage: 'Which count, and out of how many, does the percentage stand for?',
  denominator: 'Which arm does the count belong to, and out of how many was it counted?',
  count: 'Which of the two counts is right?',
  'p value': 'Which test gave the p value, and on which counts?',
  ratio: 'On which counts does it rest, which arm is on top, and was it adjusted for anything?',
  interval: 'Which method gave the limits of the interval?',
  mean: 'Which range had the scale, and is the mean as printed?',
  spread: 'Is the number a standard deviation, and of how many scores?',
  granularity: 'How many people were scored, and are mean and standard deviation as printed?',
  'standard error': 'Is the number a standard deviation or a standard error, and of how many scores?',
  people: 'How many patients and shoulders entered each arm, and how many were seen at follow-up?',
};

/** The checks of which one must fit: the first that does, else the first finding, else the first reason. */
export function bestOf(checks: readonly ArithmeticCheck[], whenNone: string): ArithmeticCheck {
  return (
    checks.find(({ verdict }) => verdict === 'fits') ??
    checks.find(({ verdict }) => verdict === 'does not fit') ??
    checks[0] ?? { verdict: 'cannot be checked', reason: whenNone }
  );
}
