import { z } from 'zod';
import { reference, reportedReference, requiredChoice, requiredText, text } from '../cells.ts';
import { provenance, studyColumn } from './sharedColumns.ts';

/** Instruments that judge the quality of a study. */
export const judgementTools = ['MINORS', 'RoB 2', 'ROBINS-I'] as const;
export type JudgementTool = (typeof judgementTools)[number];

/**
 * Items and answers of each instrument, by name because papers number them differently.
 * MINORS: Slim 2003, ANZ J Surg 73:712 (item names from memory); RoB 2: Sterne 2019, BMJ 366:l4898;
 * ROBINS-I: Sterne 2016, BMJ 355:i4919 (domain names from memory).
 */
export const judgementItems: Readonly<
  Record<JudgementTool, { readonly items: readonly string[]; readonly answers: readonly string[] }>
> = {
  MINORS: {
    items: [
      'clear aim',
      'consecutive patients',
      'prospective collection',
      'endpoints fit the aim',
      'unbiased endpoint assessment',
      'follow-up long enough',
      'loss below 5 per cent',
      'prospective sample size',
      'adequate control group',
      'contemporary groups',
      'baseline equivalence',
      'adequate statistics',
    ],
    answers: ['0', '1', '2'],
  },
  'RoB 2': {
    items: [
      'randomisation process',
      'deviations from intended interventions',
      'missing outcome data',
      'measurement of the outcome',
      'selection of the reported result',
      'overall',
    ],
    answers: ['low', 'some concerns', 'high'],
  },
  'ROBINS-I': {
    items: [
      'confounding',
      'selection of participants',
      'classification of interventions',
      'deviations from intended interventions',
      'missing data',
      'measurement of outcomes',
      'selection of the reported result',
      'overall',
    ],
    answers: ['low', 'moderate', 'serious', 'critical', 'no information'],
  },
};

const same = (a: string, b: string): boolean => a.toLowerCase() === b.toLowerCase();

/** The item as the instrument spells it, or undefined when it has none of that name. */
export const knownItem = (tool: JudgementTool, item: string): string | undefined =>
  judgementItems[tool].items.find((each) => same(each, item));

/** The answer as the instrument spells it, or undefined when it has none of that name. */
export const knownAnswer = (tool: JudgementTool, answer: string): string | undefined =>
  judgementItems[tool].answers.find((each) => same(each, answer));

/** judgements.csv: one row per study, instrument, item and (where it differs) outcome. */
export const judgementsColumns = z.strictObject({
  study: reference(studyColumn),
  tool: requiredChoice({ meaning: 'Instrument.', example: 'MINORS', heading: 'required' }, judgementTools),
  item: requiredText({
    meaning: `Item or domain, by name. ${judgementTools
      .map((tool) => `${tool}: ${judgementItems[tool].items.map((item) => `\`${item}\``).join(', ')}.`)
      .join(' ')}`,
    example: 'consecutive patients',
    heading: 'required',
  }),
  outcome: reportedReference({
    meaning: 'Outcome the judgement is about, by its id in protocol.json. Blank: all outcomes.',
    example: 'groove-pain',
    heading: 'optional',
  }),
  judgement: requiredText({
    meaning: `Answer. ${judgementTools
      .map((tool) => `${tool}: ${judgementItems[tool].answers.map((answer) => `\`${answer}\``).join(', ')}.`)
      .join(' ')}`,
    example: '2',
    heading: 'required',
  }),
  reason: text({
    meaning: 'Why, with the words of the paper.',
    example: 'all operated in the period were included',
    heading: 'optional',
  }),
  ...provenance(),
});
