import { rateScales } from '../../../effects/analysisScale.ts';
import { midGrooveRules, overlapRules, type WindowMonths } from '../../../extraction/protocol.ts';
import { studyDesigns } from '../../../extraction/sheets/studiesSheet.ts';
import {
  meanIntervals,
  poolingModels,
  predictionIntervals,
  varianceEstimators,
} from '../../../pooling/poolOptions.ts';
import { type LiveChoices, qualityRules } from './liveState.ts';
import type { Vocabulary } from './vocabulary.ts';

/** A choice in an address: its key, how its value is written, and how it is read back. */
export interface HashKey<Name extends keyof LiveChoices> {
  readonly key: string;
  readonly write: (value: LiveChoices[Name]) => string;
  /** The value, or what was expected, in words that complete "expected …". */
  readonly read: (
    text: string,
    words: Vocabulary,
  ) => { readonly value: LiveChoices[Name] } | { readonly expected: string };
}

const escaped = (text: string): string => encodeURIComponent(text).replaceAll('%20', '+');
const plain = (text: string): string => decodeURIComponent(text.replaceAll('+', ' '));

/** Several words as one value: each escaped, so that the commas between them are ours. */
export const writeList = (words: readonly string[]): string => words.map(escaped).join(',');
export const readList = (text: string): readonly string[] =>
  text === '' ? [] : [...new Set(text.split(',').map(plain))];
/** The same for an address that a program on its way escaped once more, commas and all. */
export const readListAgain = (text: string): readonly string[] => readList(plain(text));
export const writeText = escaped;
export const readText = plain;

const listed = (allowed: readonly string[]): string => allowed.map((each) => `"${each}"`).join(', ');

function oneOf<Name extends keyof LiveChoices>(
  key: string,
  allowed: readonly (LiveChoices[Name] & string)[],
): HashKey<Name> {
  return {
    key,
    write: (value) => escaped(String(value)),
    read: (text) => {
      const value = allowed.find((each) => each === plain(text));
      return value === undefined ? { expected: `one of ${listed(allowed)}` } : { value };
    },
  };
}

function someOf<Name extends 'definitions' | 'assessors' | 'designs'>(
  key: string,
  allowedOf: (words: Vocabulary) => readonly string[],
): HashKey<Name> {
  return {
    key,
    write: (value) => writeList(value),
    read: (text, words) => {
      const allowed = allowedOf(words);
      for (const wanted of [readList(text), readListAgain(text)]) {
        const known = wanted.flatMap(
          (word) => allowed.find((each) => each.toLowerCase() === word.toLowerCase()) ?? [],
        );
        if (known.length > 0 && known.length === wanted.length)
          return { value: [...new Set(known)] as unknown as LiveChoices[Name] };
      }
      return { expected: `some of ${listed(allowed)}` };
    },
  };
}

const months: HashKey<'windowMonths'> = {
  key: 'months',
  write: (window) => (window === null ? 'any' : `${window.minimum}-${window.maximum}`),
  read: (text) => {
    if (text === 'any') return { value: null };
    const [, minimum, maximum] = /^(\d+(?:\.\d+)?)-(\d+(?:\.\d+)?)$/.exec(text) ?? [];
    const window = checkWindow(Number(minimum ?? Number.NaN), Number(maximum ?? Number.NaN));
    return window === undefined
      ? { expected: '"any", or months such as "12-120", up to 600' }
      : { value: window };
  },
};

/** A window of months, if these two make one. */
export function checkWindow(minimum: number, maximum: number): WindowMonths | undefined {
  return minimum >= 0 && minimum <= maximum && maximum <= 600 ? { minimum, maximum } : undefined;
}

const zeroEvents: HashKey<'zeroEvents'> = {
  key: 'no-events',
  write: (value) => (value === 'leave-out' ? 'leave-out' : `add-${value.addToEachCell}`),
  read: (text) => {
    if (text === 'leave-out') return { value: 'leave-out' };
    const addToEachCell = Number(/^add-(\d*\.?\d+)$/.exec(text)?.[1] ?? Number.NaN);
    return addToEachCell > 0 && addToEachCell <= 1
      ? { value: { addToEachCell } }
      : { expected: '"leave-out", or an amount above 0 and at most 1 such as "add-0.5"' };
  },
};

const level: HashKey<'level'> = {
  key: 'level',
  write: String,
  read: (text) => {
    const value = /^0?\.\d+$/.test(text) ? Number(text) : Number.NaN;
    return value > 0.5 && value < 1
      ? { value }
      : { expected: 'a number above 0.5 and below 1, such as "0.9"' };
  },
};

/** Every choice an address can carry, in the order they are written. */
export const hashKeys: { readonly [Name in keyof LiveChoices]: HashKey<Name> } = {
  definitions: someOf('counts-as', (words) => words.definitions),
  assessors: someOf('seen-by', (words) => words.assessors),
  windowMonths: months,
  midGroove: oneOf('mid-groove', midGrooveRules),
  overlapRule: oneOf('same-patients', overlapRules),
  designs: someOf('designs', () => studyDesigns),
  quality: oneOf('quality', qualityRules),
  model: oneOf('model', poolingModels),
  scale: oneOf('scale', rateScales),
  zeroEvents,
  betweenStudyVariance: oneOf('spread', varianceEstimators),
  interval: oneOf('interval', meanIntervals),
  prediction: oneOf('next-study', predictionIntervals),
  level,
};
