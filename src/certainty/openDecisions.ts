import type { CertaintyRow } from '../extraction/review.ts';
import { inSiteOrder } from '../extraction/site.ts';
import { listed } from '../wording/words.ts';
import type { BodyDesign } from './bodyOfEvidence.ts';
import { type OpenDecision, type ReasonOpen, reasonsOpen } from './certaintyDecision.ts';
import type { CertaintyQuestion } from './certaintyQuestion.ts';
import { type CertaintyRating, certaintyDomains } from './certaintyRating.ts';

/** Decisions on one body of one question that must be taken again. */
export interface OpenQuestion {
  readonly question: CertaintyQuestion;
  /** The body they must be taken on. */
  readonly body: BodyDesign;
  readonly open: readonly OpenDecision[];
}

/** How many decisions must be taken again, on which questions, and why. */
export interface OpenDecisions {
  readonly kind: 'open-decisions';
  readonly questions: readonly OpenQuestion[];
  /** Decisions to take: one for each domain of each body, however many rows are on it. */
  readonly count: number;
  /** For the first page of a product; undefined when nothing is open. */
  readonly sentence: string | undefined;
}

/** Questions that certainty.csv holds rows on, pairs in the order in which every output asks them. */
export function questionsDecidedOn({
  certainty,
}: {
  readonly certainty: readonly CertaintyRow[];
}): readonly CertaintyQuestion[] {
  const questions = new Map<string, CertaintyQuestion>();
  for (const { outcome, question, site, comparator } of certainty) {
    const asked: CertaintyQuestion =
      question === 'rate' || comparator === 'not reported'
        ? { kind: 'rate', outcome, site }
        : (([one, other]) => ({ kind: 'comparison', outcome, site: one, comparator: other }) as const)(
            inSiteOrder(site, comparator),
          );
    questions.set(JSON.stringify(asked), asked);
  }
  return [...questions.values()];
}

/** What is read of a rating: of an answer with its other bodies, or of a network estimate, which has none. */
type RatedDecisions = Pick<CertaintyRating, 'question' | 'decisionsOpen'> & {
  readonly body: Pick<CertaintyRating['body'], 'design'>;
  readonly others?: readonly Pick<CertaintyRating, 'body' | 'decisionsOpen'>[];
};

/**
 * Which decisions among these ratings must be taken again?
 *
 * Gathers what does not count. Rows of `certainty.csv` are listed, never dropped.
 *
 * @example
 * openDecisionsAmong([rating]).sentence // '5 decisions on certainty must be taken again: …'
 */
export function openDecisionsAmong(ratings: readonly RatedDecisions[]): OpenDecisions {
  const questions = ratings.flatMap((rating): OpenQuestion[] => {
    const told = new Set(rating.decisionsOpen.map(({ row }) => row));
    // A row that is listed for the answer is not listed once more for the body it was taken on.
    const bodies = [
      { body: rating.body, open: rating.decisionsOpen },
      ...(rating.others ?? []).map(({ body, decisionsOpen }) => ({
        body,
        open: decisionsOpen.filter(({ row }) => !told.has(row)),
      })),
    ];
    return bodies.flatMap(({ body, open }) =>
      open.length === 0 ? [] : [{ question: rating.question, body: body.design, open }],
    );
  });
  // Where several rows are on one domain, the one nearest to counting says why.
  const reasons = questions.flatMap(({ open }) =>
    certaintyDomains.flatMap((domain): readonly ReasonOpen[] => {
      const own = new Set(open.filter((each) => each.domain === domain).map(({ why }) => why));
      return nearest.filter((why) => own.has(why)).slice(0, 1);
    }),
  );
  return { kind: 'open-decisions', questions, count: reasons.length, sentence: sentenceOf(reasons) };
}

const nearest: readonly ReasonOpen[] = [
  'the body has changed since',
  'no record of what it held',
  'no body named',
  'another body',
  'the pair the other way round',
];

const why: Readonly<Record<ReasonOpen, readonly [one: string, many: string]>> = {
  'another body': [
    'was taken on another body of evidence than the one that answers now',
    'were taken on another body of evidence than the one that answers now',
  ],
  'the body has changed since': [
    'was taken before the studies, counts or judgements changed',
    'were taken before the studies, counts or judgements changed',
  ],
  'no record of what it held': [
    'has no record of the studies and counts it was taken on',
    'have no record of the studies and counts they were taken on',
  ],
  'no body named': ['names no body of evidence', 'name no body of evidence'],
  'the pair the other way round': [
    'is about the pair of sites the other way round',
    'are about the pair of sites the other way round',
  ],
};

function sentenceOf(reasons: readonly ReasonOpen[]): string | undefined {
  if (reasons.length === 0) return undefined;
  const kinds = reasonsOpen.flatMap((reason) => {
    const count = reasons.filter((each) => each === reason).length;
    return count === 0 ? [] : [{ reason, count }];
  });
  const parts = kinds.map(({ reason, count }) => {
    const words = why[reason][count === 1 ? 0 : 1];
    return kinds.length > 1 ? `${count} ${words}` : `${count === 1 ? 'it' : 'they'} ${words}`;
  });
  const [lead, until] =
    reasons.length === 1
      ? ['1 decision on certainty must be taken again', 'it does not count']
      : [`${reasons.length} decisions on certainty must be taken again`, 'they do not count'];
  return `${lead}: ${listed(parts)}. Until then ${until}, and certainty is what the data propose.`;
}
