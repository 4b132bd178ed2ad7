import type { z } from 'zod';
import { armsColumns } from './armsSheet.ts';
import { awaitingColumns } from './awaitingSheet.ts';
import { certaintyColumns } from './certaintySheet.ts';
import { checklistColumns } from './checklistSheet.ts';
import { eventsColumns } from './eventsSheet.ts';
import { flowColumns } from './flowSheet.ts';
import { judgementsColumns } from './judgementsSheet.ts';
import { missingColumns } from './missingSheet.ts';
import { printedColumns } from './printedSheet.ts';
import { recommendationsColumns } from './recommendationsSheet.ts';
import { scoresColumns } from './scoresSheet.ts';
import { studiesColumns } from './studiesSheet.ts';

/** One file of a review: its columns, what it is for, and which columns make a row unique. */
export interface Sheet<Columns extends z.ZodObject = z.ZodObject> {
  readonly file: string;
  /** What one row is, for the codebook. */
  readonly purpose: string;
  /** Without a required file there is no review; without the others, a warning. */
  readonly required: boolean;
  /** No word is said when the file is not there. */
  readonly mayBeAbsent?: true;
  readonly columns: Columns;
  /** Two rows with equal values in these columns are duplicates. */
  readonly key: readonly (keyof Columns['shape'] & string)[];
}

function sheet<Columns extends z.ZodObject>(definition: Sheet<Columns>): Sheet<Columns> {
  return definition;
}

/** Every sheet of a review, in the order a person fills them in. */
export const sheets = {
  studies: sheet({
    file: 'studies.csv',
    purpose: 'One row per report.',
    required: true,
    columns: studiesColumns,
    key: ['study'],
  }),
  arms: sheet({
    file: 'arms.csv',
    purpose: 'One row per arm of a study.',
    required: true,
    columns: armsColumns,
    key: ['study', 'arm'],
  }),
  events: sheet({
    file: 'events.csv',
    purpose: 'One row per study, arm, outcome, definition, assessor and time point.',
    required: true,
    columns: eventsColumns,
    key: ['study', 'arm', 'outcome', 'definition', 'assessor', 'follow_up_months'],
  }),
  scores: sheet({
    file: 'scores.csv',
    purpose: 'One row per study, arm, scale, kind of value and time point, with whatever the paper gives.',
    required: false,
    columns: scoresColumns,
    key: ['study', 'arm', 'scale', 'value_type', 'follow_up_months'],
  }),
  judgements: sheet({
    file: 'judgements.csv',
    purpose: 'One row per study, instrument, item and (where it differs) outcome.',
    required: false,
    columns: judgementsColumns,
    key: ['study', 'tool', 'item', 'outcome'],
  }),
  flow: sheet({
    file: 'flow.csv',
    purpose: 'Search and selection counts; rows of one stage add up.',
    required: false,
    columns: flowColumns,
    key: ['stage', 'detail'],
  }),
  printed: sheet({
    file: 'printed.csv',
    purpose:
      'What papers print beyond the counts: percentages, p values, ratios, means and their spread, numbers of patients. The audit holds each against the other sheets.',
    required: false,
    mayBeAbsent: true,
    columns: printedColumns,
    key: ['study', 'outcome', 'arm', 'comparator_arm', 'statistic', 'test', 'follow_up_months', 'locator'],
  }),
  recommendations: sheet({
    file: 'recommendations.csv',
    purpose:
      'What a panel recommends and what each recommendation rests on, so that the next version can say whether it still stands.',
    required: false,
    mayBeAbsent: true,
    columns: recommendationsColumns,
    key: ['recommendation', 'outcome', 'site', 'comparator', 'claim'],
  }),
  awaiting: sheet({
    file: 'awaiting.csv',
    purpose: 'Reports that were found and are not yet in the review.',
    required: false,
    mayBeAbsent: true,
    columns: awaitingColumns,
    key: ['report'],
  }),
  missing: sheet({
    file: 'missing.csv',
    purpose: 'One row per outcome and question: the risk of bias from results that never reached the review.',
    required: false,
    mayBeAbsent: true,
    columns: missingColumns,
    key: ['outcome', 'question'],
  }),
  certainty: sheet({
    file: 'certainty.csv',
    purpose: 'One row per outcome, question, site (and comparator) and domain: what people decided, and why.',
    required: false,
    mayBeAbsent: true,
    columns: certaintyColumns,
    key: ['outcome', 'question', 'site', 'comparator', 'body', 'domain'],
  }),
  checklist: sheet({
    file: 'checklist.csv',
    purpose: 'One row per item of the reporting checklist, where people say it is answered.',
    required: false,
    mayBeAbsent: true,
    columns: checklistColumns,
    key: ['item'],
  }),
} as const;

export type SheetName = keyof typeof sheets;
export const sheetNames = Object.keys(sheets) as readonly SheetName[];
