import type { AnswerRecord } from '../../src/answers/answersFile.ts';
import { pointsDigits, rateDigits, ratioDigits, sizeDigits } from '../../src/wording/numbers.ts';
import { type Headline, headlinesIn } from './headline.ts';

interface Told {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

/** One number with its limits that an answer of answers.json holds, and the rule it is printed by. */
interface Stored extends Told {
  readonly rule: (value: number) => string;
  /** As printed, back to a number. */
  readonly read: (text: string) => number;
}

const numberIn = (text: string): number =>
  Number(
    text
      .replace(/,/g, '')
      .replace('\u2212', '-')
      .replace(/^[<>]/, '')
      .match(/-?[\d.]+/)?.[0] ?? 'NaN',
  );
const signed = (text: string): number =>
  /no difference/i.test(text) ? 0 : /fewer/.test(text) ? -numberIn(text) : numberIn(text);

const rate = (value: number): string => rateDigits(Math.min(100, Math.max(0, value)));
const difference = (value: number): string =>
  value === 0 ? 'no difference' : `${sizeDigits(value)} ${value < 0 ? 'fewer' : 'more'}`;

/** The quoted number of an answer by its one rule. */
export function quotedOf(answer: AnswerRecord): Stored | undefined {
  const { quoted, question } = answer;
  if (quoted === null) return undefined;
  const own = { value: quoted.value, lower: quoted.lower, upper: quoted.upper };
  if (question.kind === 'rate') return { ...own, rule: rate, read: numberIn };
  if (question.kind === 'comparison') return { ...own, rule: difference, read: signed };
  return { ...own, rule: pointsDigits, read: numberIn };
}

/** Every number with limits that the answer holds: the quoted one, its ratio, the risk it is said at, other bodies, other methods. */
export function storedNumbers(answer: AnswerRecord): readonly Stored[] {
  const quoted = quotedOf(answer);
  const { risk, otherBodies, otherMethods } = answer;
  const relative = answer.quoted?.relative;
  const by = (
    told: Told | null | undefined,
    rule: Stored['rule'],
    read: Stored['read'] = numberIn,
  ): Stored[] =>
    told == null ? [] : [{ value: told.value, lower: told.lower, upper: told.upper, rule, read }];
  const alike = quoted ?? { rule: difference, read: signed };
  return [
    ...(quoted === undefined ? [] : [quoted]),
    ...by(relative, ratioDigits),
    ...by(risk && { value: risk.value, ...(risk.interval ?? { lower: NaN, upper: NaN }) }, rate),
    ...by(risk?.follows, rate),
    ...by(risk?.ratio, ratioDigits),
    ...otherBodies.flatMap(({ quoted: other }) => by(other, alike.rule, alike.read)),
    // Other methods of a comparison are told as ratios.
    ...otherMethods.flatMap((other) =>
      answer.question.kind === 'comparison' ? by(other, ratioDigits) : by(other, alike.rule, alike.read),
    ),
  ];
}

/** The same told of the second site against the first. */
function turned({ value, lower, upper, ...rest }: Stored): Stored {
  if (rest.rule === rate) return { ...rest, value, lower, upper };
  return rest.rule === ratioDigits
    ? { ...rest, value: 1 / value, lower: 1 / upper, upper: 1 / lower }
    : { ...rest, value: 0 - value, lower: 0 - upper, upper: 0 - lower };
}

/** Does a printed text say this number: by the rule, or (where more decimals are allowed) with more that round to it? */
function says(text: string, value: number, { rule, read }: Stored, moreDecimals: boolean): boolean {
  const wanted = printedBy(rule, value);
  if (wanted === undefined) return false;
  const trimmed = text.replace(/\s*%$/, '').trim();
  if (trimmed.toLowerCase() === wanted.toLowerCase()) return true;
  // `5.3 to 12 fewer`: the word stands behind the last number only.
  const bare = wanted.replace(/ (?:fewer|more)$/, '');
  if (/ (?:fewer|more)$/.test(wanted) && trimmed === bare) return true;
  const printed = read(trimmed);
  const decimals = (trimmed.split('.')[1] ?? '').replace(/\D.*$/, '').length;
  if (!moreDecimals || !Number.isFinite(printed)) return false;
  // More decimals: the stored number rounded to them, and no farther from what is told than rounding takes it.
  const told = read(wanted);
  const halfStep = 0.5 * 10 ** -(wanted.split('.')[1] ?? '').replace(/\D.*$/, '').length;
  return (
    decimals > 0 &&
    Number(value.toFixed(decimals)) === printed &&
    (Math.abs(printed - told) <= halfStep * (1 + 1e-9) || printedBy(rule, printed) === wanted)
  );
}

/** What a number read back prints as; none where the rule has no such number (a ratio below 0). */
function printedBy(rule: (value: number) => string, value: number): string | undefined {
  try {
    return rule(value);
  } catch {
    return undefined;
  }
}

/** Is this value with its interval one that the answer holds? */
export function holds(
  answer: AnswerRecord,
  { value, lower, upper }: Headline,
  options: { readonly moreDecimals?: boolean; readonly quotedOnly?: boolean; readonly turned?: boolean } = {},
): boolean {
  const own = options.quotedOnly ? [quotedOf(answer)].flatMap((each) => each ?? []) : storedNumbers(answer);
  const all = options.turned ? [...own, ...own.map(turned)] : own;
  const more = options.moreDecimals ?? false;
  return all.some(
    (stored) =>
      says(value, stored.value, stored, more) &&
      says(lower, stored.lower, stored, more) &&
      says(upper, stored.upper, stored, more),
  );
}

/** Are these limits those of the quoted number? For a text whose value is said in words. */
export const holdsLimits = (
  answer: AnswerRecord,
  { lower, upper }: { readonly lower: string; readonly upper: string },
  moreDecimals = false,
): boolean =>
  storedNumbers(answer).some(
    (stored) =>
      says(lower, stored.lower, stored, moreDecimals) && says(upper, stored.upper, stored, moreDecimals),
  );

/**
 * Does a row or a line of a picture print the quoted number (or, in a comparison, its ratio): its limits, and its value,
 * or in words that no or every shoulder had the event?
 */
export function rowPrints(answer: AnswerRecord, text: string, moreDecimals: boolean): boolean {
  if (headlinesIn(text).some((headline) => holds(answer, headline, { moreDecimals, quotedOnly: true })))
    return true;
  const relative = answer.quoted?.relative;
  const own = [quotedOf(answer), ...storedNumbers(answer).slice(1, relative == null ? 1 : 2)].flatMap(
    (each) => each ?? [],
  );
  const inWords = /\bnone\b|\bno events?\b|every shoulder|\ball\b|at most|at least/i.test(text);
  const tokens = text
    .split(/[|()\u2013;,]|\s+to\s+/)
    .map((token) =>
      token
        .replace(/^.*interval /, '')
        .replace(/ in 100.*$/, '')
        .trim(),
    )
    .filter((token) => token !== '')
    // A cell may say the counts behind its number.
    .flatMap((token) => (/\d \d/.test(token) ? [token, token.split(' ')[0]!] : [token]));
  return own.some((stored) =>
    [stored.lower, stored.upper, ...(inWords ? [] : [stored.value])].every((value) =>
      tokens.some((token) => says(token, value, stored, moreDecimals)),
    ),
  );
}
