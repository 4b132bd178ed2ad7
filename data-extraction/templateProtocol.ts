import type { Protocol } from '../src/extraction/protocol.ts';
import { demoProtocol } from './demo-source/demoProtocol.ts';

/** The protocol a new review starts from: the demo's choices, to be changed, without its invented data. */
export const templateProtocol: Protocol = makeTemplate();

function makeTemplate(): Protocol {
  const { notice: _notice, previousVersion: _previous, ...choices } = demoProtocol;
  const source = 'replace with where your thresholds come from';
  return {
    ...choices,
    title: 'Replace with the title of your review',
    inventedData: false,
    question: 'Replace with your clinical question, in one sentence',
    population: 'Replace with whose shoulders your review is about',
    lastSearch: '2000-01-01',
    outcomes: choices.outcomes.map((outcome) =>
      outcome.kind === 'events'
        ? { ...outcome, thresholdsPer100: { ...outcome.thresholdsPer100, source } }
        : { ...outcome, thresholdsPoints: { ...outcome.thresholdsPoints, source } },
    ),
  };
}
