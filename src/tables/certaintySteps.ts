import { markedSentence, markNumberOf } from '../answers/printAnswer.ts';
import { bodyInWords } from '../certainty/bodyInWords.ts';
import type { CertaintyRating } from '../certainty/certaintyRating.ts';
import { levelsText } from '../certainty/rateCertainty.ts';
import { siteNames } from '../extraction/site.ts';
import { type Table, table } from './table.ts';

/** "Revision for the biceps after tenotomy", "Groove pain: suprapectoral against tenotomy". */
export function questionText({ question, body }: CertaintyRating): string {
  const { name } = body.outcome;
  return question.kind === 'rate'
    ? `${name}, rate at ${siteNames[question.site].toLowerCase()}`
    : `${name}, ${siteNames[question.site].toLowerCase()} against ${siteNames[question.comparator].toLowerCase()}`;
}

const sentenceCase = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** One rating step by step: where it starts, what each domain proposes and shows, what was decided and why, where it ends. */
export function certaintySteps(rating: CertaintyRating, options: { readonly caption?: string } = {}): Table {
  const { start, domains, level, confirmed, steps, cautions } = rating;
  const bounds = steps.find(({ what }) => what === 'bounds');
  return table({
    caption: options.caption ?? `Certainty step by step: ${questionText(rating)}`,
    columns: [
      { key: 'step', heading: 'Step' },
      { key: 'evidence', heading: 'What shows it' },
      { key: 'proposed', heading: 'Proposed' },
      { key: 'decided', heading: 'Decided' },
      { key: 'reason', heading: 'Reason given' },
    ],
    rows: [
      { step: 'Start', evidence: sentenceCase(start.reason), proposed: start.level },
      ...domains.map(({ domain, evidence, proposed, decided, reason }) => ({
        step: domain,
        evidence: markNumberOf(rating, evidence.join(' ')),
        proposed: levelsText(proposed),
        decided: decided === undefined ? 'not yet' : levelsText(decided),
        reason,
      })),
      ...(bounds === undefined
        ? []
        : [{ step: 'ends of the scale', evidence: bounds.words, proposed: levelsText(bounds.levels) }]),
      {
        step: 'Certainty',
        evidence: markedSentence(rating),
        proposed: level ?? 'no level',
        decided: confirmed ? 'confirmed' : 'not confirmed',
      },
    ],
    notes: cautions.map(({ message }) => message),
  });
}

/** Several ratings in one table: the answer, the certainty, and what took it down. */
export function certaintyOverview(
  ratings: readonly CertaintyRating[],
  options: { readonly caption?: string } = {},
): Table {
  return table({
    caption: options.caption ?? 'How sure we may be',
    columns: [
      { key: 'question', heading: 'Question' },
      { key: 'body', heading: 'Studies' },
      { key: 'answer', heading: 'Answer' },
      { key: 'certainty', heading: 'Certainty' },
      { key: 'why', heading: 'What moved it' },
      { key: 'confirmed', heading: 'Confirmed' },
    ],
    rows: ratings.map((rating) => ({
      question: questionText(rating),
      body: bodyInWords(rating.body),
      answer: markedSentence(rating),
      certainty: rating.level ?? 'no level',
      why: rating.domains
        .filter(({ levels }) => levels !== 0)
        .map(
          ({ domain, levels, decided }) =>
            `${domain}: ${levelsText(levels)}${decided === undefined ? ' (proposed)' : ''}`,
        )
        .join('; '),
      confirmed: rating.confirmed ? 'yes' : 'no',
    })),
    answers: ratings.map(({ answer }) => answer),
    notes: [
      'A level is confirmed when people have decided on every domain, with a reason; until then it is what the data propose. The same studies start at different levels for a rate and for a comparison.',
    ],
  });
}
