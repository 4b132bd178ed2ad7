import { z } from 'zod';
import { type CellKind, type ColumnMeaning, columnMeanings } from './columnMeaning.ts';
import { isMissingText, trimCell } from './missingText.ts';
import { didYouMean, listNames } from './nearestName.ts';
import { type CellFault, type PrintedNumber, readPrintedNumber } from './printedNumber.ts';
import { type PrintedStatistic, readPrintedStatistic } from './printedStatistic.ts';
import { notReported, type Reported } from './reported.ts';

/** A zod schema from the text of a cell to its value. */
export type Cell<Value> = z.ZodType<Value, string>;

type CellResult<Value> = { readonly value: Value } | { readonly fault: CellFault };

const blankIsMissing = 'not reported';
const blankIsError = 'not allowed';
const shortNameWords = 'letters, digits, `-`, `_` and `.`';

/** Builds a cell from a plain reading function; the fault travels in the zod issue's `params`. */
function cell<Value>(
  kind: CellKind,
  meaning: ColumnMeaning,
  allowed: string,
  blank: string,
  read: (text: string) => CellResult<Value>,
): Cell<Value> {
  const schema = z.string().transform((raw, context): Value => {
    const result = read(trimCell(raw));
    if ('value' in result) return result.value;
    context.addIssue({ code: 'custom', message: result.fault.expected, params: { fault: result.fault } });
    return z.NEVER;
  });
  schema.register(columnMeanings, { ...meaning, kind, allowed, blank });
  return schema;
}

function reported<Value>(
  kind: CellKind,
  meaning: ColumnMeaning,
  allowed: string,
  read: (text: string) => CellResult<Value>,
): Cell<Reported<Value>> {
  return cell<Reported<Value>>(kind, meaning, allowed, blankIsMissing, (text) =>
    isMissingText(text) ? { value: notReported } : read(text),
  );
}

const fault = (expected: string, cure: string): { readonly fault: CellFault } => ({
  fault: { expected, cure },
});

/** Spreadsheet error codes that replaced what a person typed. */
const lostText = /^#(ref!|n\/a|div\/0!|value!|name\?|num!|null!)|^#{2,}$/i;

function readText(text: string): CellResult<string> {
  if (lostText.test(text)) {
    return fault('text', 'The spreadsheet lost what stood here and left an error code: type it again.');
  }
  return { value: text };
}

/** Free text that must be there. */
export function requiredText(meaning: ColumnMeaning): Cell<string> {
  return cell('text', meaning, 'text', blankIsError, (text) =>
    isMissingText(text)
      ? fault('text, not a blank', `Fill it in, for example: ${meaning.example}.`)
      : readText(text),
  );
}

/** Free text that may be missing. */
export function text(meaning: ColumnMeaning): Cell<Reported<string>> {
  return reported('text', meaning, 'text', readText);
}

/** A letter, then letters, digits and a few marks; composed, because sheets come from several systems. */
function readShortName(text: string, example: string): CellResult<string> {
  const value = text.normalize('NFC');
  if (/^[\p{L}\p{N}][\p{L}\p{N}._-]{0,59}$/u.test(value)) return { value };
  const cure = `Use up to 60 letters, digits, hyphens, dots or underscores, for example: ${example}.`;
  return fault('a short name without spaces', cure);
}

/** A short name that other rows and sheets refer to. */
export function identifier(meaning: ColumnMeaning): Cell<string> {
  return cell('name', meaning, shortNameWords, blankIsError, (value) =>
    isMissingText(value)
      ? fault('a short name, not a blank', `Fill it in, for example: ${meaning.example}.`)
      : readShortName(value, meaning.example),
  );
}

/** The short name of something defined elsewhere; whether it exists is checked there, with the nearest name. */
export function reference(meaning: ColumnMeaning): Cell<string> {
  return cell('name', meaning, shortNameWords, blankIsError, (value) =>
    isMissingText(value)
      ? fault('a short name, not a blank', `Fill it in, for example: ${meaning.example}.`)
      : { value: value.normalize('NFC') },
  );
}

/** The short name of something defined elsewhere, or missing. */
export function reportedReference(meaning: ColumnMeaning): Cell<Reported<string>> {
  return reported('name', meaning, shortNameWords, (value) => ({ value: value.normalize('NFC') }));
}

/** Short names joined by `+`, or missing; without blanks around the plus sign. */
export function reportedIdentifiers(meaning: ColumnMeaning): Cell<Reported<string>> {
  return reported('name', meaning, `${shortNameWords}; several joined by \`+\``, (value) => {
    const names: string[] = [];
    for (const part of value.split('+')) {
      const read = readShortName(trimCell(part), meaning.example);
      if ('fault' in read) return read;
      names.push(read.value);
    }
    return { value: names.join('+') };
  });
}

export interface NumberBounds {
  readonly minimum?: number;
  readonly maximum?: number;
  /** Whole numbers only. */
  readonly whole?: boolean;
}

const orMissing = 'Check the paper and the unit in the heading; type NR when the paper does not say.';
const mustBeThere = 'Check the paper and the unit in the heading.';

/** No measure of this field comes near it; a number beyond it is a slip of the keyboard. */
const absoluteMaximum = 1_000_000;

function boundsInWords(bounds: NumberBounds): string {
  const kind = bounds.whole === true ? 'a whole number' : 'a number';
  if (bounds.minimum !== undefined && bounds.maximum !== undefined) {
    return `${kind} from ${bounds.minimum} to ${bounds.maximum}`;
  }
  if (bounds.minimum !== undefined) return `${kind}, ${bounds.minimum} or more`;
  return kind;
}

function readNumber(text: string, bounds: NumberBounds, outside = orMissing): CellResult<PrintedNumber> {
  const expected = boundsInWords(bounds);
  const reading = readPrintedNumber(text, bounds.whole === true);
  if (reading.number === undefined) return fault(expected, reading.cure);
  const { value } = reading.number;
  if (bounds.whole === true && !Number.isInteger(value)) {
    return fault(expected, 'Type the count itself; averages and percentages have columns of their own.');
  }
  if (value < (bounds.minimum ?? -absoluteMaximum) || value > (bounds.maximum ?? absoluteMaximum)) {
    return fault(expected, outside);
  }
  return { value: reading.number };
}

const plainNumber = (result: CellResult<PrintedNumber>): CellResult<number> =>
  'value' in result ? { value: result.value.value } : result;

/** A number that may be missing. */
export function number(meaning: ColumnMeaning, bounds: NumberBounds = {}): Cell<Reported<number>> {
  return reported('number', meaning, boundsInWords(bounds), (value) =>
    plainNumber(readNumber(value, bounds)),
  );
}

/** A count: a whole number, 0 or more, or missing. A typed 0 stays 0. */
export function count(meaning: ColumnMeaning): Cell<Reported<number>> {
  return number(meaning, { whole: true, minimum: 0 });
}

/** A number that must be there. */
export function requiredNumber(meaning: ColumnMeaning, bounds: NumberBounds): Cell<number> {
  return cell('number', meaning, boundsInWords(bounds), blankIsError, (value) =>
    isMissingText(value)
      ? fault(`${boundsInWords(bounds)}, not a blank`, `Fill it in, for example: ${meaning.example}.`)
      : plainNumber(readNumber(value, bounds, mustBeThere)),
  );
}

/** A percentage from 0 to 100, a trailing % sign allowed. */
export function percent(meaning: ColumnMeaning): Cell<Reported<number>> {
  const bounds = { minimum: 0, maximum: 100 };
  return reported('number', meaning, 'a number from 0 to 100', (value) =>
    plainNumber(readNumber(value.replace(/\s*%$/, ''), bounds)),
  );
}

/** A percentage with the decimals it was printed with. */
export function printedPercent(meaning: ColumnMeaning): Cell<Reported<PrintedNumber>> {
  const bounds = { minimum: 0, maximum: 100 };
  return reported('number', meaning, 'a number from 0 to 100, with the decimals the paper prints', (value) =>
    readNumber(value.replace(/\s*%$/, ''), bounds),
  );
}

/** A statistic as printed, sign, decimals and denominator kept. */
export function printedStatistic(meaning: ColumnMeaning): Cell<PrintedStatistic> {
  const words =
    'a number as printed, with a sign such as `<` or a denominator as in `7/20` where there is one';
  return cell('number', meaning, words, blankIsError, (value) => {
    if (isMissingText(value))
      return fault('what the paper prints', 'Delete the row when nothing is printed.');
    const reading = readPrintedStatistic(value);
    return reading.statistic === undefined
      ? fault('a number as printed', reading.cure)
      : { value: reading.statistic };
  });
}

const plainWord = (word: string): string => word.toLowerCase().replace(/[\s_-]+/g, ' ');

function readChoice<Value extends string>(value: string, choices: readonly Value[]): CellResult<Value> {
  const found = choices.find((choice) => plainWord(choice) === plainWord(value));
  if (found !== undefined) return { value: found };
  return fault(`one of ${listNames(choices)}`, `${didYouMean(value, choices)}Use a word of the list.`);
}

const choiceWords = (choices: readonly string[]): string =>
  choices.map((choice) => `\`${choice}\``).join(', ');

/** One word of a list, or missing. Case, spaces, hyphens and underscores do not matter. */
export function choice<const Value extends string>(
  meaning: ColumnMeaning,
  choices: readonly Value[],
): Cell<Reported<Value>> {
  return reported('choice', meaning, choiceWords(choices), (value) => readChoice(value, choices));
}

/** One word of a list that must be there. */
export function requiredChoice<const Value extends string>(
  meaning: ColumnMeaning,
  choices: readonly Value[],
): Cell<Value> {
  return cell('choice', meaning, choiceWords(choices), blankIsError, (value) =>
    isMissingText(value)
      ? fault(`one of ${listNames(choices)}`, 'Fill it in with a word of the list.')
      : readChoice(value, choices),
  );
}

/** Is it a day of the calendar (or a month, or a year)? `2019`, `2019-05` and `2019-05-17` all do. */
export function isCalendarDate(value: string): boolean {
  const match = /^(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?$/.exec(value);
  if (match === null) return false;
  const [year, month, day] = [Number(match[1]), Number(match[2] ?? 1), Number(match[3] ?? 1)];
  if (year < 1900 || year > 2100 || month < 1 || month > 12) return false;
  return day >= 1 && day <= new Date(Date.UTC(year, month, 0)).getUTCDate();
}

/** A date to the year, month or day, or missing. */
export function date(meaning: ColumnMeaning): Cell<Reported<string>> {
  return reported('date', meaning, 'a date as `2019`, `2019-05` or `2019-05-17`', (value) =>
    isCalendarDate(value)
      ? { value }
      : fault(
          'a date as 2019, 2019-05 or 2019-05-17',
          'Write the year first, then month and day with hyphens.',
        ),
  );
}
