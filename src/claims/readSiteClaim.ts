import type { EventsOutcome } from '../extraction/protocol.ts';
import { type PooledSite, siteNames } from '../extraction/site.ts';
import { readClaim } from '../robustness/claims/readClaim.ts';
import type { ClaimBound, SiteClaim, SiteClaimReading } from './siteClaim.ts';

const sitePatterns: readonly (readonly [PooledSite, RegExp])[] = [
  ['suprapectoral', /\bsupra[\s-]*pectoral\w*/],
  ['subpectoral', /\bsub[\s-]*pectoral\w*/],
  ['top-of-groove', /\b(?:top|entrance) of the (?:bicipital )?groove\b|\barticular margin\b/],
  ['tenotomy', /\btenotom\w+|\breleas(?:e|ed|ing)\b/],
];

const numberWords: Readonly<Record<string, number>> = {
  two: 2,
  three: 3,
  four: 4,
  five: 5,
  six: 6,
  seven: 7,
  eight: 8,
  nine: 9,
  ten: 10,
};
const amount = `(\\d+(?:\\.\\d+)?|${Object.keys(numberWords).join('|')})`;
const wayWords = '(fewer|less|lower|rarer|more|higher|greater)';
const fewerWords = /\b(?:fewer|less|lower|rarer|rarely|reduc\w*|prevent\w*|protect\w*|lowers|spares?)\b/;
const moreWords = /\b(?:more|higher|greater|increas\w*|rais\w*|oftener|commoner)\b/;
const betterWords = /\b(?:better|safer|superior)\b/;
const worseWords = /\b(?:worse|inferior|riskier)\b/;
const alikeWords =
  /\b(?:no difference|do(?:es)? not differ|don't differ|doesn't differ|the same|alike|equal(?:ly)?|equivalent|similar(?:ly)?|as (?:good|safe|often|many|few|bad|well) as|no better than|no worse than)\b/;
const negation = /\b(?:not|never|no|neither|nor|without)\b|n't\b/;

/**
 * What does a sentence about sites claim?
 *
 * Reads a ratio ("twice as often as"), a difference ("10 fewer in 100 than"), a direction ("rarer after … than
 * after"), likeness ("no difference between"), a rate ("fewer than 5 in 100 after") or the counts of one series
 * ("0 of 40", read by `readClaim`). Sites and outcomes are found by their names. Anything else is not guessed at.
 *
 * @param sentence what the speaker wants to say
 * @param outcomes the protocol's outcomes counted as events, to find the one the sentence names
 * @param options.outcome the one meant where the sentence names none: it decides whether "better" is more or fewer
 * @example
 * readSiteClaim('Tenotomy deforms twice as often as subpectoral tenodesis', outcomes)
 * // { status: 'read', claim: { kind: 'ratio', site: 'tenotomy', comparator: 'subpectoral', factor: 2, … }, … }
 */
export function readSiteClaim(
  sentence: string,
  outcomes: readonly EventsOutcome[],
  options: { readonly outcome?: string } = {},
): SiteClaimReading {
  const text = sentence.toLowerCase().replaceAll('’', "'").replace(/\s+/g, ' ').slice(0, 500);
  const outcome = outcomeNamed(text, outcomes);
  const better = outcomes.find(({ id }) => id === (outcome ?? options.outcome))?.better ?? 'lower';
  const { sites, rest } = sitesNamed(text);
  const read = (claim: SiteClaim): SiteClaimReading => ({ status: 'read', claim, outcome });
  const [site, comparator, third] = sites;
  if (third !== undefined)
    return no(`it names more than two sites (${sites.map((each) => siteNames[each]).join(', ')})`);
  if (site === undefined || comparator === undefined) {
    const count = countClaim(sentence);
    if (count !== undefined) return read({ kind: 'count', count });
  }
  if (site === undefined)
    return no('it names none of the sites (top of the groove, suprapectoral, subpectoral, tenotomy)');
  if (comparator === undefined) {
    const rate = rateClaim(rest);
    return rate === undefined
      ? no(`it names one site (${siteNames[site].toLowerCase()}) and no rate such as "fewer than 5 in 100"`)
      : read({ kind: 'rate', site, ...rate });
  }
  const sided = { site, comparator };
  const factor = factorClaimed(rest);
  const difference = differenceClaimed(rest);
  // "No more than" bounds a number, it does not deny one.
  const denies = negation.test(rest.replaceAll(/\bno (?:more|fewer|less) than\b/g, ' '));
  if ((factor !== undefined || difference !== undefined) && denies)
    return no('it denies a number; say what holds instead');
  if (difference !== undefined) return read({ kind: 'difference', ...sided, ...difference });
  if (factor !== undefined) return read({ kind: 'ratio', ...sided, ...factor });
  if (alikeWords.test(rest)) return read({ kind: 'alike', ...sided });
  if (denies) return no('it denies something; say what holds instead');
  const good = better === 'lower' ? 'fewer' : 'more';
  const said = new Set<'more' | 'fewer'>([
    ...(moreWords.test(rest) ? (['more'] as const) : []),
    ...(fewerWords.test(rest) ? (['fewer'] as const) : []),
    ...(betterWords.test(rest) ? ([good] as const) : []),
    ...(worseWords.test(rest) ? ([good === 'fewer' ? 'more' : 'fewer'] as const) : []),
  ]);
  const [direction, other] = [...said];
  if (direction === undefined) return no('it does not say more, fewer, a number or no difference');
  if (other !== undefined) return no('it says both more and fewer');
  return read({ kind: 'direction', ...sided, direction });
}

const no = (reason: string): SiteClaimReading => ({ status: 'not understood', reason });

/** Sites in the order they are named (turned round after "compared with"), and the sentence without them. */
function sitesNamed(text: string): { readonly sites: readonly PooledSite[]; readonly rest: string } {
  const found = sitePatterns
    .flatMap(([site, pattern]) => {
      const match = pattern.exec(text);
      return match === null ? [] : [{ site, at: match.index }];
    })
    .sort((one, other) => one.at - other.at)
    .map(({ site }) => site);
  const rest = sitePatterns.reduce(
    (left, [, pattern]) => left.replaceAll(new RegExp(pattern, 'g'), ' '),
    text,
  );
  const turned = found.length === 2 && /^\W*(?:compared (?:with|to)|against|unlike|than after)\b/.test(text);
  return { sites: turned ? found.toReversed() : found, rest };
}

/** The outcome with most words of its name in the sentence; on a tie the protocol's first. */
function outcomeNamed(text: string, outcomes: readonly EventsOutcome[]): string | undefined {
  const score = ({ name, id, description }: EventsOutcome): number => {
    const stems = (words: string): string[] =>
      words
        .toLowerCase()
        .split(/[^\p{L}]+/u)
        .filter((word) => word.length >= 4 && !commonWords.has(word))
        .map((word) => word.slice(0, 5));
    const inSentence = (stem: string): boolean => new RegExp(`(?:^|[^\\p{L}])${stem}`, 'u').test(text);
    const named = [...new Set(stems(`${name} ${id}`))].filter(inSentence).length;
    const described = [...new Set(stems(description ?? ''))].filter(inSentence).length;
    return 10 * named + described;
  };
  const best = Math.max(0, ...outcomes.map(score));
  return best === 0 ? undefined : outcomes.find((outcome) => score(outcome) === best)?.id;
}

const commonWords = new Set([
  'after',
  'with',
  'that',
  'same',
  'when',
  'also',
  'from',
  'because',
  'whatever',
  'tendon',
  'operation',
]);

const numberOf = (word: string): number => numberWords[word] ?? Number(word.replaceAll(',', ''));

function boundBefore(text: string, at: number): ClaimBound {
  const before = text.slice(Math.max(0, at - 24), at);
  if (/(?:at least|no fewer than|no less than|over|above|more than)\s*$/.test(before)) return 'at least';
  if (/(?:at most|no more than|up to|under|below|fewer than|less than)\s*$/.test(before)) return 'at most';
  return 'about';
}

function factorClaimed(text: string): { readonly factor: number; readonly bound: ClaimBound } | undefined {
  const inverse = (tail: string): boolean => /^\W*(?:fewer|less|lower|rarer)\b/.test(tail);
  const patterns: readonly (readonly [RegExp, (match: RegExpExecArray) => number])[] = [
    [/\b(?:twice|doubl\w+)\b/, () => 2],
    [/\b(?:thrice|tripl\w+)\b/, () => 3],
    [/\bhalf (?:as|the)\b|\bhalv\w+\b/, () => 1 / 2],
    [/\ba third (?:as|the|of)\b/, () => 1 / 3],
    [/\ba quarter (?:as|the|of)\b/, () => 1 / 4],
    [new RegExp(`\\b${amount}[\\s-]*(?:times|fold)\\b`), (match) => numberOf(match[1]!)],
    [
      new RegExp(`\\b${amount}\\s*(?:%|per ?cent) ${wayWords}`),
      (match) => 1 + (isFewer(match[2]!) ? -1 : 1) * (numberOf(match[1]!) / 100),
    ],
  ];
  for (const [pattern, claimed] of patterns) {
    const match = pattern.exec(text);
    if (match === null) continue;
    const value = claimed(match);
    if (!(value > 0)) return undefined;
    const turned = match[2] === undefined && inverse(text.slice(match.index + match[0].length));
    return { factor: turned ? 1 / value : value, bound: boundBefore(text, match.index) };
  }
  return undefined;
}

const isFewer = (word: string): boolean => ['fewer', 'less', 'lower', 'rarer'].includes(word);

function differenceClaimed(
  text: string,
): { readonly difference: number; readonly bound: ClaimBound } | undefined {
  const match = new RegExp(
    `\\b${amount} ${wayWords}\\b(?:\\s[\\p{L}]+){0,4}? (?:in|per|of|out of) (100|1,?000)\\b`,
    'u',
  ).exec(text);
  if (match === null) return undefined;
  const difference = numberOf(match[1]!) / numberOf(match[3]!);
  if (!(difference > 0 && difference <= 1)) return undefined;
  const fewer = isFewer(match[2]!);
  const bound = boundBefore(text, match.index);
  // "At least 10 fewer" is at most −10: the bound is kept on the side it was said of.
  return { difference: fewer ? -difference : difference, bound: fewer ? opposite[bound] : bound };
}

const opposite = { about: 'about', 'at least': 'at most', 'at most': 'at least' } as const;

function rateClaim(text: string): { readonly rate: number; readonly bound: ClaimBound } | undefined {
  const match =
    new RegExp(`\\b${amount}\\s*(?:in|per|of|out of) (?:every )?(100|1,?000)\\b`).exec(text) ??
    /(\d+(?:\.\d+)?)\s*(?:%|per ?cent)/.exec(text);
  if (match === null) return undefined;
  const rate = numberOf(match[1]!) / (match[2] === undefined ? 100 : numberOf(match[2]));
  return rate > 0 && rate < 1 ? { rate, bound: boundBefore(text, match.index) } : undefined;
}

function countClaim(sentence: string) {
  try {
    return readClaim(sentence);
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}
