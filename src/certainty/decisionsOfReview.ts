import { isReported } from '../extraction/reported.ts';
import type { CertaintyRow, MissingRow, Review } from '../extraction/review.ts';
import type { MissingQuestion, MissingRecord } from '../robustness/missing/missingJudgement.ts';
import type { BodyDesign } from './bodyOfEvidence.ts';
import type { CertaintyDecision, OpenDecision, ReasonOpen } from './certaintyDecision.ts';
import type { CertaintyQuestion } from './certaintyQuestion.ts';
import { certaintyDomains } from './certaintyRating.ts';

/** Decisions on one question: those that count for a body, and those that must be taken again. */
export interface DecisionsFound {
  readonly decisions: readonly CertaintyDecision[];
  readonly open: readonly OpenDecision[];
}

/**
 * What did people decide on this question, and does it still count for this body of studies?
 *
 * A decision counts when it names the body and the body still holds the studies, arms, counts and judgements it was taken
 * on. A rate has one body only, so there a blank names it; a comparison's decision without a body counts for none. What
 * does not count is given back with the reason, in each domain that has no decision that does.
 *
 * @param rated the body, and its fingerprint now, asked for once a row could count
 * @param answer whether this body is the answer to the question: it then lists decisions on other bodies as well
 */
export function decisionsOfReview(
  review: { readonly certainty?: readonly CertaintyRow[] },
  question: CertaintyQuestion,
  rated: { readonly design: BodyDesign; readonly held: () => string },
  answer: boolean,
): DecisionsFound {
  const rows = (review.certainty ?? []).flatMap((row) => {
    const turned = isTurned(row, question);
    // A network stands beside the answer and is never another body of it: its decisions are its own.
    const elsewhere = (row.body === 'network') !== (rated.design === 'network');
    return turned === undefined || elsewhere || !isReported(row.levels) ? [] : [{ row, turned }];
  });
  let known: string | undefined;
  const heldNow = (): string => {
    known ??= rated.held();
    return known;
  };
  const found = certaintyDomains.map((domain): DecisionsFound => {
    const all = rows
      .filter(({ row }) => row.domain === domain)
      .map(({ row, turned }) => {
        const body = bodyOfRow(row);
        const why: ReasonOpen | undefined = turned
          ? 'the pair the other way round'
          : body === undefined
            ? 'no body named'
            : body !== rated.design
              ? 'another body'
              : !isReported(row.heldWhenDecided)
                ? 'no record of what it held'
                : row.heldWhenDecided !== heldNow()
                  ? 'the body has changed since'
                  : undefined;
        return { row, body, why };
      });
    const counts = all.filter(({ why }) => why === undefined);
    // Two rows on the one body of a rate: the one that names it.
    const counted = counts.find(({ row }) => isReported(row.body)) ?? counts[0];
    if (counted !== undefined) return { decisions: [decisionOf(counted.row)], open: [] };
    const open = all.flatMap(({ row, body, why }): OpenDecision[] =>
      why !== undefined &&
      (answer || body === rated.design) &&
      (answer || why !== 'the pair the other way round')
        ? [{ ...decisionOf(row), body, why }]
        : [],
    );
    return { decisions: [], open };
  });
  return {
    decisions: found.flatMap(({ decisions }) => decisions),
    open: found.flatMap(({ open }) => open),
  };
}

/** Whether the row asks this question with its sites the other way round; undefined where it asks another. */
function isTurned(row: CertaintyRow, question: CertaintyQuestion): boolean | undefined {
  if (row.outcome !== question.outcome || row.question !== question.kind) return undefined;
  if (question.kind === 'rate')
    return row.site === question.site && !isReported(row.comparator) ? false : undefined;
  if (row.site === question.site && row.comparator === question.comparator) return false;
  return row.site === question.comparator && row.comparator === question.site ? true : undefined;
}

/** The body a row is about: the one it names, and for a rate the only one there is. */
export const bodyOfRow = ({
  question,
  body,
}: Pick<CertaintyRow, 'question' | 'body'>): BodyDesign | undefined =>
  isReported(body) ? (body as BodyDesign) : question === 'rate' ? 'arms at one site' : undefined;

function decisionOf(row: CertaintyRow): CertaintyDecision {
  const given = <Value>(value: Value | 'not reported'): Value | undefined =>
    isReported(value) ? (value as Value) : undefined;
  return {
    domain: row.domain,
    levels: row.levels as number,
    reason: given(row.reason) ?? '',
    decidedBy: given(row.decidedBy),
    date: given(row.decidedOn),
    proposedThen: given(row.proposedThen),
    row: row.row,
  };
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
