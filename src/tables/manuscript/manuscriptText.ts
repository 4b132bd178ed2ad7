import { protocolReading } from '../readings/protocolReading.ts';
import { writeAnalysis } from './analysisText.ts';
import { writeCollection, writeEligibility } from './eligibilityText.ts';
import type { ManuscriptInput } from './manuscriptInput.ts';
import { writeRobustness } from './robustnessText.ts';
import { writeSelection } from './selectionText.ts';
import type { Manuscript, Sentence } from './sentence.ts';
import { writeSyntheses } from './synthesesText.ts';
import { typed } from './words.ts';
import { newWriter, type Writer } from './writer.ts';

/**
 * What do the methods and results sections of a manuscript say?
 *
 * Paragraphs in the order of the reporting guideline, in the past tense, with the numbers of the results given. Every
 * sentence names the guideline's item it answers and the rows, results and protocol keys it was written from. What
 * cannot be known from the data stands in square brackets, to be supplied by the author. A wide interval is never
 * called no difference, and no p stands without its effect or statistic.
 *
 * @param input results as computed; nothing is estimated here
 * @see Page MJ, McKenzie JE, Bossuyt PM et al., BMJ 2021;372:n71.
 * @example
 * manuscriptText({ review, flow: flowCounts(review.flow, review.studies), outcomes }).paragraphs[0]?.sentences
 */
export function manuscriptText(input: ManuscriptInput): Manuscript {
  const write = newWriter();
  writeEligibility(write, input);
  writeCollection(write, input);
  writeAnalysis(write, input);
  writeSelection(write, input);
  writeSyntheses(write, input);
  writeRobustness(write, input);
  writeOther(write, input);
  return {
    kind: 'manuscript',
    title: input.review.protocol.title,
    paragraphs: write.paragraphs(),
    references: write.cited(),
  };
}

function writeOther(
  write: Writer,
  { review, outcomes, scores = [], amendments = [] }: ManuscriptInput,
): void {
  write.heading('Other information', 'Registration, protocol and reporting');
  if (review.protocol.registered === undefined) {
    write.ask('24a', 'The review was registered under {0}, {1}.', [
      'registration number, or a statement that it was not registered',
      'date, and whether that was before results were seen',
    ]);
    write.ask('24b', 'The protocol can be read at {0}.', ['address of the protocol']);
  } else {
    write.say('24a', protocolReading(review.protocol), { protocol: ['registered'] });
  }
  const departures = [
    ...outcomes.flatMap(({ selection }) => selection.departures),
    ...scores.flatMap(({ selection }) => selection.departures),
  ];
  const found = [...new Set(departures)];
  if (found.length > 0)
    write.say('24c', `Departures from the protocol: ${found.join(' ')}`, { results: ['outcomes'] });
  if (amendments.length === 0)
    write.ask('24c', 'Amendments to the registration or protocol were {0}.', [
      'amendments with dates and reasons, or none',
    ]);
  else
    write.ask(
      '24c',
      `The protocol was amended between versions of the review. ${amendments.map(typed).join('. ')}. These changes were made {0}.`,
      ['date and reason of each amendment, and whether results were known by then'],
      { results: ['amendments'] },
    );
  write.say('24b', `Reporting follows the PRISMA 2020 statement ${write.cite('prisma')}.`);
  write.heading('Other information', 'Support, interests and availability');
  write.ask('25', 'The review was supported by {0}.', ['sources of support and their role']);
  write.ask('26', 'Competing interests: {0}.', ['interests of each author']);
  write.ask('27', 'The extraction sheets, the protocol and the code of the analyses are available at {0}.', [
    'address of data and code',
  ]);
}

/** Everything the author has still to supply, in order. */
export function sentencesToSupply(manuscript: Manuscript): readonly Sentence[] {
  return manuscript.paragraphs.flatMap(({ sentences }) =>
    sentences.filter(({ toSupply }) => toSupply.length > 0),
  );
}
