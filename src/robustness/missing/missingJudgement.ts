import type { MissingEvidence, OutcomeAvailability } from './missingEvidence.ts';

/** Answers to each question, from best to worst. */
export const missingAnswers = ['low', 'some concerns', 'high'] as const;
export type MissingAnswer = (typeof missingAnswers)[number];

/** What is judged of each synthesis. */
export const missingQuestions = ['knownMissingResults', 'likelyMissingStudies', 'patternOfResults'] as const;
export type MissingQuestion = (typeof missingQuestions)[number];

export interface JudgedQuestion {
  readonly answer: MissingAnswer;
  /** Why, in words. */
  readonly reason: string;
}

/** What reviewers wrote down for one outcome. */
export interface MissingRecord {
  readonly outcome: string;
  /** Results known to have been produced but not reported, or not in a usable way. */
  readonly knownMissingResults?: JudgedQuestion;
  /** Studies likely to exist that the search could not find. */
  readonly likelyMissingStudies?: JudgedQuestion;
  /** Whether the results at hand look like the selected part of a whole. */
  readonly patternOfResults?: JudgedQuestion;
  /** Overrides the least favourable answer, with a reason. */
  readonly overall?: JudgedQuestion;
}

/** A record beside the facts it should rest on. */
export interface MissingJudgement {
  readonly outcome: string;
  readonly name: string;
  readonly facts: OutcomeAvailability;
  readonly answers: Readonly<Record<MissingQuestion, JudgedQuestion | undefined>>;
  /** `not judged` while a question has no answer: silence is never a low risk. */
  readonly overall: MissingAnswer | 'not judged';
  readonly overridden: boolean;
}

/**
 * How likely is it that results we do not have would change each synthesis?
 *
 * Reviewers answer three questions for each outcome; this keeps the answers beside the facts and takes the least
 * favourable as the overall one unless they override it with a reason. Nothing is judged by counting.
 *
 * @returns one judgement for each outcome of the review, recorded or not
 * @throws RangeError for an unknown outcome, question or answer, a repeated outcome or an empty reason
 *
 * Source: Page MJ et al., BMJ 2023;383:e076754 (risk of bias due to missing evidence in a synthesis); wording ours.
 *
 * @example
 * judgeMissingEvidence(missingEvidence(review), [{ outcome: 'revision', patternOfResults: { answer: 'low', reason: '…' } }])
 */
export function judgeMissingEvidence(
  evidence: MissingEvidence,
  records: readonly MissingRecord[],
): readonly MissingJudgement[] {
  const known = evidence.outcomes.map(({ outcome }) => outcome);
  const seen = new Set<string>();
  for (const record of records) {
    if (!known.includes(record.outcome))
      throw new RangeError(`outcome must be one of ${known.join(', ')}, received "${record.outcome}"`);
    if (seen.has(record.outcome)) throw new RangeError(`outcome "${record.outcome}" is recorded twice`);
    seen.add(record.outcome);
    for (const [name, judged] of Object.entries(record)) {
      if (name === 'outcome') continue;
      if (name !== 'overall' && !(missingQuestions as readonly string[]).includes(name))
        throw new RangeError(
          `unknown question "${name}", they are ${missingQuestions.join(', ')} and overall`,
        );
      checkJudged(name, judged as JudgedQuestion);
    }
  }
  return evidence.outcomes.map((facts) => {
    const record = records.find(({ outcome }) => outcome === facts.outcome);
    const answers = {
      knownMissingResults: record?.knownMissingResults,
      likelyMissingStudies: record?.likelyMissingStudies,
      patternOfResults: record?.patternOfResults,
    };
    const given = Object.values(answers).flatMap((each) => (each === undefined ? [] : [each.answer]));
    const worst = missingAnswers.findLast((answer) => given.includes(answer));
    const overall =
      record?.overall?.answer ??
      (worst !== undefined && given.length === missingQuestions.length ? worst : 'not judged');
    return {
      outcome: facts.outcome,
      name: facts.name,
      facts,
      answers,
      overall,
      overridden: record?.overall !== undefined && record.overall.answer !== worst,
    };
  });
}

function checkJudged(name: string, judged: JudgedQuestion | undefined): void {
  if (judged === undefined) return;
  if (!missingAnswers.includes(judged.answer))
    throw new RangeError(`${name} must be one of ${missingAnswers.join(', ')}, received "${judged.answer}"`);
  if (typeof judged.reason !== 'string' || judged.reason.trim() === '')
    throw new RangeError(`${name} needs a reason in words`);
}
