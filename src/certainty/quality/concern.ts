import type { JudgementTool } from '../../extraction/sheets/judgementsSheet.ts';
import { checkChoice, checkOptionNames, show } from '../../pooling/optionChecks.ts';
import { newcastleOttawaForms } from './newcastleOttawa.ts';

/** Three steps that every instrument is read on, so that weights by judgement can be added up. */
export const concerns = ['low concern', 'some concern', 'high concern'] as const;
export type Concern = (typeof concerns)[number];

/** A study nobody judged is not a study of low concern. */
export type ConcernReading = Concern | 'not judged';
export const concernReadings = [...concerns, 'not judged'] as const;

/** Shares of the most an instrument's sum can reach, from which concern is low, or no more than some. */
export interface SumCuts {
  readonly lowFrom: number;
  readonly someFrom: number;
}

export interface QualityOptions {
  /** MINORS has no official bands. Ours: low concern from three quarters of the maximum, some from half. */
  readonly minorsCuts?: SumCuts;
  /** Ours, after bands in common use (85 excellent, 70 good, 55 fair; no source): low from 0.85, some from 0.55. */
  readonly colemanCuts?: SumCuts;
  /** Which published conversion of stars counts; default `any` (poor when any of the three groups is short). */
  readonly newcastleOttawaForm?: (typeof newcastleOttawaForms)[number];
  /** Which instrument counts where a study was judged by several, first come first. */
  readonly preference?: readonly JudgementTool[];
}

export type ResolvedQualityOptions = Required<QualityOptions>;

/** For a rate: instruments for one group before those that ask about confounding. */
export const preferenceForRates: readonly JudgementTool[] = [
  'RoB 2',
  'MINORS',
  'Newcastle-Ottawa',
  'modified Coleman',
  'ROBINS-I',
];

/** For a comparison: instruments that ask about confounding first. */
export const preferenceForComparisons: readonly JudgementTool[] = [
  'RoB 2',
  'ROBINS-I',
  'Newcastle-Ottawa',
  'MINORS',
  'modified Coleman',
];

/**
 * Fills in the defaults.
 *
 * @throws RangeError for an unknown option, cuts outside 0 to 1 or out of order, an unknown form or instrument
 */
export function resolveQualityOptions(options: QualityOptions = {}): ResolvedQualityOptions {
  checkOptionNames(options, [
    'minorsCuts',
    'colemanCuts',
    'newcastleOttawaForm',
    'preference',
  ] satisfies (keyof QualityOptions)[]);
  const preference = options.preference ?? preferenceForRates;
  for (const tool of preference) checkChoice('preference', tool, preferenceForRates);
  return {
    minorsCuts: checkCuts('minorsCuts', options.minorsCuts ?? { lowFrom: 0.75, someFrom: 0.5 }),
    colemanCuts: checkCuts('colemanCuts', options.colemanCuts ?? { lowFrom: 0.85, someFrom: 0.55 }),
    newcastleOttawaForm: checkChoice(
      'newcastleOttawaForm',
      options.newcastleOttawaForm ?? 'any',
      newcastleOttawaForms,
    ),
    preference,
  };
}

function checkCuts(name: string, cuts: SumCuts): SumCuts {
  const { lowFrom, someFrom } = cuts;
  if (!(someFrom >= 0 && someFrom <= lowFrom && lowFrom <= 1))
    throw new RangeError(
      `${name} must have 0 <= someFrom <= lowFrom <= 1, received ${show(someFrom)} and ${show(lowFrom)}`,
    );
  return cuts;
}

/**
 * What each instrument's own words mean on the three steps: the one place where this is decided. The mapping is ours.
 * ROBINS-I without information, and stars that a conversion leaves unclassified, are not judged.
 */
export const concernOfWord: Readonly<Record<string, Readonly<Record<string, ConcernReading>>>> = {
  'RoB 2': { low: 'low concern', 'some concerns': 'some concern', high: 'high concern' },
  'ROBINS-I': {
    low: 'low concern',
    moderate: 'some concern',
    serious: 'high concern',
    critical: 'high concern',
    'no information': 'not judged',
  },
  'Newcastle-Ottawa': { good: 'low concern', fair: 'some concern', poor: 'high concern' },
};

/** The step a share of the maximum stands on. */
export const concernOfShare = (share: number, { lowFrom, someFrom }: SumCuts): Concern =>
  share >= lowFrom ? 'low concern' : share >= someFrom ? 'some concern' : 'high concern';
