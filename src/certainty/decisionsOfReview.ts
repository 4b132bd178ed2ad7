import { isReported } from '../extraction/reported.ts';
import type { CertaintyRow, MissingRow, Review } from '../extraction/review.ts';
import type { MissingQuestion, MissingRecord } from '../robustness/missing/missingJudgement.ts';
import type { BodyDesign } from './bodyOfEvidence.ts';
import type { CertaintyDecision } from './certaintyDecision.ts';
import type { CertaintyQuestion } from './certaintyQuestion.ts';
import { certaintyDomains } from './certaintyRating.ts';

/**
 * What did people decide on this question, for this body of studies?
 *
 * A row that names the body goes before one that names none; rows that name another body are not read. The blank ones
 * are for the body that is the answer.
 *
 * @param answer whether this body is the answer to the question
 */
export function decisionsOfReview(
  review: { readonly certainty?: readonly CertaintyRow[] },
  question: CertaintyQuestion,
  design: BodyDesign,
  answer: boolean,
): readonly CertaintyDecision[] {
  const rows = (review.certainty ?? []).filter(
    (row) =>
      row.outcome === question.outcome &&
      row.question === question.kind &&
      row.site === question.site &&
      (question.kind === 'rate' ? !isReported(row.comparator) : row.comparator === question.comparator),
  );
  return certaintyDomains.flatMap((domain): CertaintyDecision[] => {
    const own = rows.filter((row) => row.domain === domain);
    const row =
      own.find(({ body }) => body === design) ??
      (answer ? own.find(({ body }) => !isReported(body)) : undefined);
    if (row === undefined) return [];
    const given = <Value>(value: Value | 'not reported'): Value | undefined =>
      isReported(value) ? (value as Value) : undefined;
    return [
      {
        domain,
        levels: row.levels,
        reason: row.reason,
        decidedBy: given(row.decidedBy),
        date: given(row.decidedOn),
        proposedThen: given(row.proposedThen),
        row: row.row,
      },
    ];
  });
}

const questionOfWords: Readonly<Record<MissingRow['question'], MissingQuestion | 'overall'>> = {
  'known missing results': 'knownMissingResults',
  'likely missing studies': 'likelyMissingStudies',
  'pattern of results': 'patternOfResults',
  overall: 'overall',
};

/**
 * What did the reviewers record on missing evidence? The rows of missing.csv, one record per outcome, for
 * `judgeMissingEvidence`.
 *
 * @example
 * judgeMissingEvidence(missingEvidence(review), missingRecords(review))
 */
export function missingRecords(review: { readonly missing?: Review['missing'] }): readonly MissingRecord[] {
  const byOutcome = new Map<string, MissingRecord>();
  for (const { outcome, question, answer, reason } of review.missing ?? [])
    byOutcome.set(outcome, {
      ...(byOutcome.get(outcome) ?? { outcome }),
      [questionOfWords[question]]: { answer, reason },
    });
  return [...byOutcome.values()];
}
