import { z } from 'zod';
import { reference, reportedReference, requiredChoice, requiredText, text } from '../cells.ts';
import { provenance, studyColumn } from './sharedColumns.ts';

/** Instruments that judge the quality of a study. */
export const judgementTools = [
  'MINORS',
  'RoB 2',
  'ROBINS-I',
  'Newcastle-Ottawa',
  'modified Coleman',
] as const;
export type JudgementTool = (typeof judgementTools)[number];

/** An instrument: its items, and the answers each may have. */
export interface JudgementInstrument {
  readonly items: readonly string[];
  /** Answers to every item, or all that some item has. */
  readonly answers: readonly string[];
  /** Answers of items that differ from the rest. */
  readonly answersOf?: Readonly<Record<string, readonly string[]>>;
  /** The sum as a person typed it, where the instrument has one: checked against the items and never used in their place. */
  readonly total?: { readonly item: 'total'; readonly maximum: number };
}

const colemanPoints: Readonly<Record<string, readonly string[]>> = {
  'study size': ['0', '4', '7', '10'],
  'mean follow-up': ['0', '2', '5'],
  'number of procedures': ['0', '7', '10'],
  'type of study': ['0', '10', '15'],
  'diagnostic certainty': ['0', '3', '5'],
  'description of the procedure': ['0', '3', '5'],
  'description of rehabilitation': ['0', '5', '10'],
  'outcome criteria defined': ['0', '2'],
  'timing of assessment stated': ['0', '2'],
  'reliable outcome criteria': ['0', '3'],
  'sensitive outcome criteria': ['0', '3'],
  'patients recruited': ['0', '5'],
  'investigator independent of surgeon': ['0', '4'],
  'written assessment': ['0', '3'],
  'assessment completed by patients': ['0', '3'],
  'selection criteria reported': ['0', '5'],
  'recruitment rate reported': ['0', '3', '5'],
  'patients not included accounted for': ['0', '5'],
};

/**
 * Items and answers of each instrument, by name because papers number them differently.
 * MINORS: Slim 2003, ANZ J Surg 73:712 (item names from memory); RoB 2: Sterne 2019, BMJ 366:l4898;
 * ROBINS-I: Sterne 2016, BMJ 355:i4919 (domain names from memory). Newcastle-Ottawa: the scale for cohort studies,
 * Wells and others, Ottawa Hospital Research Institute (stars per item from memory; 4, 2 and 3 in the three groups).
 * Modified Coleman: the points of Coleman 2000, Scand J Med Sci Sports 10:2-11 (from memory), counting shoulders where
 * the original counts tendons: part A 60 points (`study size` to `description of rehabilitation`), part B 40.
 */
export const judgementItems: Readonly<Record<JudgementTool, JudgementInstrument>> = {
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
    total: { item: 'total', maximum: 24 },
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
  'Newcastle-Ottawa': {
    items: [
      'representative cohort',
      'non-exposed cohort',
      'ascertainment of exposure',
      'outcome absent at start',
      'comparability',
      'assessment of outcome',
      'follow-up long enough',
      'adequacy of follow-up',
    ],
    answers: ['0', '1', '2'],
    answersOf: {
      'representative cohort': ['0', '1'],
      'non-exposed cohort': ['0', '1'],
      'ascertainment of exposure': ['0', '1'],
      'outcome absent at start': ['0', '1'],
      'assessment of outcome': ['0', '1'],
      'follow-up long enough': ['0', '1'],
      'adequacy of follow-up': ['0', '1'],
    },
    total: { item: 'total', maximum: 9 },
  },
  'modified Coleman': {
    items: Object.keys(colemanPoints),
    answers: ['0', '2', '3', '4', '5', '7', '10', '15'],
    answersOf: colemanPoints,
    total: { item: 'total', maximum: 100 },
  },
};

/** The four MINORS items that only a study with two or more groups can be asked. */
export const comparativeMinorsItems: readonly string[] = judgementItems.MINORS.items.slice(8);

const same = (a: string, b: string): boolean => a.toLowerCase() === b.toLowerCase();

/** The item as the instrument spells it, or undefined when it has none of that name. */
export const knownItem = (tool: JudgementTool, item: string): string | undefined => {
  const { items, total } = judgementItems[tool];
  return [...items, ...(total === undefined ? [] : [total.item])].find((each) => same(each, item));
};

/** Answers an item may have; for a total, every whole number up to the maximum. */
export function answersTo(tool: JudgementTool, item: string): readonly string[] {
  const { answers, answersOf, total } = judgementItems[tool];
  const name = knownItem(tool, item);
  if (total !== undefined && name === total.item)
    return Array.from({ length: total.maximum + 1 }, (_, sum) => String(sum));
  return answersOf !== undefined && name !== undefined ? (answersOf[name] ?? answers) : answers;
}

/** The answer as the instrument spells it, or undefined when the item has none of that name. */
export const knownAnswer = (tool: JudgementTool, item: string, answer: string): string | undefined =>
  answersTo(tool, item).find((each) => same(each, answer));

/** judgements.csv: one row per study, instrument, item and (where it differs) outcome. */
export const judgementsColumns = z.strictObject({
  study: reference(studyColumn),
  tool: requiredChoice({ meaning: 'Instrument.', example: 'MINORS', heading: 'required' }, judgementTools),
  item: requiredText({
    meaning: `Item or domain, by name. ${judgementTools
      .map((tool) => `${tool}: ${judgementItems[tool].items.map((item) => `\`${item}\``).join(', ')}.`)
      .join(' ')} The three that add points may also have a row \`total\`, checked against the items.`,
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
      .join(
        ' ',
      )} Items of Newcastle-Ottawa take one star each, \`comparability\` two. The points each item of the modified Coleman allows: ${Object.entries(
      colemanPoints,
    )
      .map(([item, points]) => `\`${item}\` ${points.join('/')}`)
      .join(', ')}. An item nobody judged is left out, never 0.`,
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
