import { openDecisions } from '../../../answers/openDecisions.ts';
import { definitionText } from '../../../extraction/definitions.ts';
import type { EventsOutcome } from '../../../extraction/protocol.ts';
import type { Review } from '../../../extraction/review.ts';
import { pooledSites } from '../../../extraction/site.ts';
import { wholeText } from '../../../tables/plainWords/aboutInHundred.ts';
import { dayInWords } from '../../../tables/plainWords/siteWords.ts';
import { table } from '../../../tables/table.ts';
import { counted } from '../../../wording/words.ts';
import type { Slide, SlideSentence } from '../slide.ts';
import { comparingStudies, type OutcomeEvidence, studiesOf } from '../talkEvidence.ts';
import { closingNotes } from '../talkNotes.ts';

/** What was asked, when it was last searched for, and what was counted. */
export function questionSlide(review: Review, outcomes: readonly OutcomeEvidence[]): Slide {
  const { protocol } = review;
  const arms = outcomes.flatMap(({ selection }) =>
    selection.arms.filter(({ site }) => (pooledSites as readonly string[]).includes(site)),
  );
  // One outcome alone leaves room to say what it is.
  const only = outcomes.length === 1 ? outcomes[0] : undefined;
  const scores = protocol.outcomes.filter(({ kind }) => kind === 'score');
  const studies = studiesOf(arms);
  const comparing = comparingStudies(arms);
  const open = openDecisions(review);
  return {
    kind: 'slide',
    id: 'question',
    title:
      studies === 0
        ? 'No study found so far answers the question'
        : `${counted(studies, 'study', 'studies')} ${studies === 1 ? 'answers' : 'answer'} in part; ${comparing === 0 ? 'none' : comparing} of them ${comparing === 1 ? 'compares' : 'compare'} sites`,
    blocks: [
      {
        kind: 'sentences',
        sentences: [
          { text: protocol.question },
          ...(open.count === 0
            ? []
            : [
                {
                  text: `${counted(open.count, 'decision')} on certainty must be taken again; the notes say why.`,
                  look: 'warning',
                } as const,
              ]),
        ],
      },
      {
        kind: 'table',
        table: table({
          caption: 'What was counted',
          columns: [
            { key: 'outcome', heading: 'What was counted' },
            { key: 'studies', heading: 'Studies', align: 'right' },
            { key: 'shoulders', heading: 'Shoulders', align: 'right' },
            { key: 'matters', heading: 'Difference that matters', align: 'right' },
          ],
          rows: outcomes.map(({ outcome, pools }) => {
            const counts = pools.sites.flatMap(({ pool }) => pool.arms);
            return {
              outcome: outcome.name,
              studies: studiesOf(counts),
              shoulders: wholeText(counts.reduce((sum, { total }) => sum + total, 0)),
              matters: `${outcome.thresholdsPer100.materialDifference} in 100`,
            };
          }),
        }),
      },
      ...(only === undefined ? [] : [{ kind: 'sentences' as const, sentences: meaningOf(only.outcome) }]),
    ],
    source: `Last search: ${dayInWords(protocol.lastSearch)}.`,
    notes: [
      ...(open.sentence === undefined ? [] : [open.sentence]),
      `Question: ${protocol.question}`,
      `Population: ${protocol.population}.`,
      ...outcomes.map(
        ({ outcome, selection }) =>
          `${outcome.name}: ${outcome.description ?? 'no description'}. Counted among ${outcome.denominator}. Definitions accepted, best first: ${selection.options.definitions.map(definitionText).join(', ')}. Assessors accepted, best first: ${selection.options.assessors.join(', ')}. Smallest difference that matters: ${outcome.thresholdsPer100.materialDifference} in 100 (${outcome.thresholdsPer100.source}). Rows left out: ${selection.leftOut.length}.`,
      ),
      ...(scores.length === 0
        ? []
        : [`Measured as scores and not on these slides: ${scores.map(({ name }) => name).join(', ')}.`]),
      ...closingNotes(review),
    ],
  };
}

function meaningOf({ description, denominator, windowMonths, assessors }: EventsOutcome): SlideSentence[] {
  const texts = [
    ...(description === undefined ? [] : [`${description}.`]),
    `Counted among ${denominator}${windowMonths === undefined ? '' : `, ${windowMonths.minimum} to ${windowMonths.maximum} months after the operation`}.`,
    `Judged by, best first: ${assessors.join(', ')}.`,
  ];
  return texts.map((text) => ({ text, look: 'item' }));
}
