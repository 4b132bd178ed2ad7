import { siteNames } from '../extraction/site.ts';
import { relativeText } from '../wording/ratioText.ts';
import { bodyInWords } from './bodyInWords.ts';
import type { BodyOfEvidence } from './bodyOfEvidence.ts';
import type { CertaintyQuestion } from './certaintyQuestion.ts';
import type { CertaintyLevel, DomainJudgement, EffectSize } from './certaintyRating.ts';
import { differenceInHundred, hundredText, rateInHundred, thresholdsOf } from './perHundred.ts';

/**
 * How large a difference is by the protocol's thresholds; `plain` beyond the smallest one where no others are declared.
 *
 * The point names the size, and imprecision is rated against the lines of that size. Where people took fewer levels for
 * imprecision than that asks for, no more is said than the limit nearer to no difference carries, so that the word and the
 * certainty stay one statement: at least slight for a point that matters.
 *
 * @param imprecision the judgement that counts; left out, the point alone decides
 */
export function effectSizeOf(
  { estimate, outcome }: BodyOfEvidence,
  imprecision?: Pick<DomainJudgement, 'levels' | 'proposed'>,
): EffectSize | undefined {
  if (estimate === undefined) return undefined;
  const { material, moderate, large, declared } = thresholdsOf(outcome);
  const { value, lower, upper } = estimate;
  if (Math.abs(value) < material) return 'little to no';
  if (!declared) return 'plain';
  const earned = imprecision === undefined || imprecision.levels <= imprecision.proposed;
  const nearer = Math.max(0, value < 0 ? -upper : lower);
  const size = earned ? Math.abs(value) : nearer;
  return size >= large ? 'large' : size >= moderate ? 'plain' : 'slight';
}

const fewer = (value: number): boolean => value < 0;

/** What the effect does, in the standard's words, by size and certainty; very low has one sentence for all sizes. */
const effectWords: Readonly<
  Record<Exclude<CertaintyLevel, 'very low'>, Readonly<Record<EffectSize, (value: number) => string>>>
> = {
  high: {
    large: (value) => `results in a large ${fewer(value) ? 'reduction' : 'increase'} in`,
    plain: (value) => (fewer(value) ? 'reduces' : 'increases'),
    slight: (value) => `${fewer(value) ? 'reduces' : 'increases'} slightly`,
    'little to no': () => 'results in little to no difference in',
  },
  moderate: {
    large: (value) => `likely results in a large ${fewer(value) ? 'reduction' : 'increase'} in`,
    plain: (value) => `likely ${fewer(value) ? 'reduces' : 'increases'}`,
    slight: (value) => `likely ${fewer(value) ? 'reduces' : 'increases'} slightly`,
    'little to no': () => 'likely results in little to no difference in',
  },
  low: {
    large: (value) => `may result in a large ${fewer(value) ? 'reduction' : 'increase'} in`,
    plain: (value) => `may ${fewer(value) ? 'reduce' : 'increase'}`,
    slight: (value) => `may ${fewer(value) ? 'reduce' : 'increase'} slightly`,
    'little to no': () => 'may result in little to no difference in',
  },
};

const rateWords: Readonly<Record<Exclude<CertaintyLevel, 'very low'>, string>> = {
  high: 'occurs in about',
  moderate: 'likely occurs in about',
  low: 'may occur in about',
};

/** Where no shoulder had the event only the upper limit can be said. */
const noneSeenWords: Readonly<Record<Exclude<CertaintyLevel, 'very low'>, string>> = {
  high: 'occurs in at most',
  moderate: 'likely occurs in at most',
  low: 'may occur in up to',
};

const inSentence = (words: string): string => words.charAt(0).toLowerCase() + words.slice(1);

/**
 * The answer in one sentence: absolute numbers first, then the standard words for this certainty and size.
 *
 * High "results in", moderate "likely", low "may", very low "very uncertain"; the size from the protocol's thresholds. A
 * rate has a sentence of its own kind, and series set against series say that no study compared the two. Nothing is
 * recommended.
 *
 * @param level undefined when no study answers the question
 * @param size of a difference, as it may be said; without it that of the point
 * @see Santesso N and others, GRADE guidelines 26, J Clin Epidemiol 2020;119:126 (statements; the table from memory). The
 *   sentence for rates is ours.
 * @example
 * standardSentence(question, body, 'moderate')
 * // '8 fewer in 100 (13 fewer to 2 fewer): suprapectoral fixation likely reduces cosmetic deformity, compared with tenotomy.'
 */
export function standardSentence(
  question: CertaintyQuestion,
  body: BodyOfEvidence,
  level: CertaintyLevel | undefined,
  size: EffectSize | undefined = effectSizeOf(body),
): string {
  const outcome = inSentence(body.outcome.name);
  const site = treatmentWords(question.site);
  if (question.kind === 'rate') {
    if (level === undefined)
      return `No study reports ${outcome} after ${site}: we cannot tell how often it occurs.`;
    if (body.estimate === undefined)
      return `The evidence is very uncertain about how often ${outcome} occurs after ${site}: no rate could be pooled.`;
    const { value, lower, upper } = body.estimate;
    const noneSeen = value === 0;
    const numbers = noneSeen
      ? `None seen in ${body.shoulders} (${hundredText(lower)} to ${hundredText(upper)} in 100)`
      : rateInHundred(body.estimate);
    return level === 'very low'
      ? `${numbers} in these studies: the evidence is very uncertain about how often ${outcome} occurs after ${site}.`
      : `${numbers}: ${outcome} ${(noneSeen ? noneSeenWords : rateWords)[level]} this many shoulders after ${site}.`;
  }
  const comparator = treatmentWords(question.comparator);
  if (level === undefined)
    return `No study compares ${site} with ${comparator} for ${outcome}: we cannot tell whether they differ.`;
  const between =
    body.design === 'series against series'
      ? 'No study compared the two; between series of each, '
      : body.design === 'all comparative studies'
        ? `In ${bodyInWords(body)}, `
        : '';
  if (body.estimate === undefined)
    return body.relative === undefined
      ? `The evidence is very uncertain about the effect of ${site} on ${outcome}, compared with ${comparator}: the studies give no estimate.`
      : `${between === '' ? relativeText(body.relative) : `${between}${inSentence(relativeText(body.relative))}`}: the evidence is very uncertain about the effect of ${site} on ${outcome}, compared with ${comparator}; without a risk after ${comparator} to start from, the ratio cannot be said in numbers of 100.`;
  const numbers = differenceInHundred(body.estimate);
  const first = between === '' ? numbers : `${between}${inSentence(numbers)}`;
  if (level === 'very low')
    return `${first}: the evidence is very uncertain about the effect of ${site} on ${outcome}, compared with ${comparator}.`;
  const effect = effectWords[level][size!](body.estimate.value);
  // "reduces deformity slightly", not "reduces slightly deformity".
  const words = effect.endsWith(' slightly')
    ? `${effect.slice(0, -' slightly'.length)} ${outcome} slightly`
    : `${effect} ${outcome}`;
  const { lower, upper } = body.estimate;
  // The point alone is small: a reader must not take that for the answer.
  const open = size === 'little to no' && Math.max(-lower, upper) >= thresholdsOf(body.outcome).material;
  return `${first}: ${site} ${words}, compared with ${comparator}${open ? '; a difference that matters is not ruled out' : ''}.`;
}

function treatmentWords(site: CertaintyQuestion['site']): string {
  const name = siteNames[site].toLowerCase();
  if (site === 'tenotomy') return name;
  return site === 'top-of-groove' ? 'fixation at the top of the groove' : `${name} fixation`;
}
