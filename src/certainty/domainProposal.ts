import type { MissingJudgement } from '../robustness/missing/missingJudgement.ts';
import type { SmallStudyTest } from '../robustness/smallStudies/smallStudyTests.ts';
import type { BodyOfEvidence } from './bodyOfEvidence.ts';
import type { CertaintyQuestion } from './certaintyQuestion.ts';
import type { CertaintyRules } from './certaintyRules.ts';
import type { StudyQuality } from './quality/studyQuality.ts';

/** What the data propose for one domain, and the evidence for it. */
export interface DomainProposal {
  /** 0, or levels down (negative) or up (positive). */
  readonly proposed: number;
  /** Sentences with numbers. */
  readonly evidence: readonly string[];
  /** Those of the sentences that made the step, for a footnote; undefined where nothing is moved. */
  readonly decisive?: readonly string[];
}

/** A way in which the studies differ from the question, as declared by the caller or found in the data. */
export interface DeclaredDifference {
  /** One sentence. */
  readonly words: string;
  /** 0: worth saying, no level; -1 or -2 levels. */
  readonly levels: 0 | -1 | -2;
}

/** Everything one rating rests on. */
export interface CertaintyEvidence {
  readonly question: CertaintyQuestion;
  readonly body: BodyOfEvidence;
  /** Quality of the studies, for this outcome. */
  readonly quality: readonly StudyQuality[];
  readonly smallStudies: readonly SmallStudyTest[];
  readonly missing: MissingJudgement | undefined;
  /** Differences between studies and question, found and declared. */
  readonly differences: readonly DeclaredDifference[];
}

/** A domain: one function from the evidence to a proposal. */
export type Domain = (evidence: CertaintyEvidence, rules: CertaintyRules) => DomainProposal;

/** Limits of a number of levels: never below the floor, never a negative zero. */
export const levelsDown = (count: number, floor: number): number => {
  const levels = Math.min(Math.max(0, count), floor);
  return levels === 0 ? 0 : -levels;
};
