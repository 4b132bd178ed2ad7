import type { CheckedSiteClaim } from '../../../claims/checkSiteClaim.ts';
import type { Review } from '../../../extraction/review.ts';
import { plainLine } from '../../../figures/fitText.ts';
import { claimAsRead, claimInWords } from '../../../tables/plainWords/claimInWords.ts';
import type { Slide } from '../slide.ts';
import { closingNotes, placeOf } from '../talkNotes.ts';

/** Longest sentence that is shown whole. */
const longest = 240;

/** Whether the speaker's sentence may be said, and what may be said instead. */
export function claimSlide(review: Review, said: string, checked: CheckedSiteClaim): Slide {
  const words = claimInWords(checked);
  const { evidence, count } = checked;
  const sentence = plainLine(said);
  const shown = sentence.length > longest ? `${sentence.slice(0, longest)}…` : sentence;
  const about = checked.claim.kind === 'count' ? 'Your own series' : evidence.outcome.name;
  return {
    kind: 'slide',
    id: 'claim',
    title: words.title,
    blocks: [
      {
        kind: 'sentences',
        sentences: [
          { text: `“${shown}”`, look: 'lead' },
          { text: words.reason },
          ...(words.instead.length === 0 ? [] : [{ text: words.heading }]),
          ...words.instead.map((text) => ({ text, look: 'item' as const })),
        ],
      },
    ],
    source: `${about}, read as: ${claimAsRead(checked.claim)}.`,
    notes: [
      `The sentence was read as: ${claimAsRead(checked.claim)} (${about}).`,
      `Verdict: ${checked.verdict}. ${checked.reason}`,
      'Borne out: every value of the interval agrees. Contradicted: none does. Direction only: the interval lies on the claimed side of no difference without settling the amount. Otherwise we cannot tell.',
      ...(count === undefined ? [] : [count.sentence, ...count.further, count.methodsSentence]),
      ...(evidence.pair === undefined
        ? []
        : [
            `Method: ${evidence.pair.answer.behind.pair?.pool.methodsSentence ?? evidence.pair.answer.quoted?.method ?? 'no number'}`,
            `Rows: ${evidence.pair.answer.rows.map(placeOf).join('; ')}.`,
          ]),
      ...(evidence.pool === undefined ? [] : [`Method: ${evidence.pool.methodsSentence}`]),
      ...closingNotes(review),
    ],
  };
}
