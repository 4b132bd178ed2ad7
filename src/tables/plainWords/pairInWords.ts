import type { CertaintyRating } from '../../certainty/certaintyRating.ts';
import type { PairEvidence } from '../../comparison/pairs/pairEvidence.ts';
import { type PeopleBase, peopleAmong, peopleBaseFor } from '../../effects/peopleAmong.ts';
import type { EventsOutcome } from '../../extraction/protocol.ts';
import { agreeing, counted } from '../../wording/words.ts';
import { aboutInHundred, startLarge, wholeText } from './aboutInHundred.ts';
import { differenceInWords } from './differenceInWords.ts';
import { afterSite, siteInSentence } from './siteWords.ts';

/** What the interval of a difference allows one to say. */
export const pairMessages = ['fewer', 'more', 'little difference', 'cannot tell', 'no study'] as const;
export type PairMessage = (typeof pairMessages)[number];

/** Two sites set against each other, in words for a room: absolute numbers, and no ratio. */
export interface PairInWords {
  readonly message: PairMessage;
  readonly base: PeopleBase;
  /** The message in a sentence, without a full stop. */
  readonly title: string;
  /** `In 3 studies that did both, of 100 shoulders:` */
  readonly opening: string;
  /** `about 28 after tenotomy` and `about 6 after subpectoral fixation`; empty when no study tells. */
  readonly risks: readonly string[];
  /** `About 22 fewer in 100, likely between 12 and 26 fewer.` */
  readonly difference: string | undefined;
  /** The difference and its range apart, for a cell of a table. */
  readonly cell: string;
  /** `How sure: low certainty.` */
  readonly certainty: string;
  /** What to expect elsewhere, where it can be said. */
  readonly elsewhere: string | undefined;
}

/** Which message the interval of the difference carries, before anybody rates how sure it is. */
export function messageOf({ risks }: PairEvidence, material: number): PairMessage {
  if (risks === undefined) return 'no study';
  const { lower, upper } = risks.difference;
  if (lower > -material && upper < material) return 'little difference';
  if (upper < 0) return 'fewer';
  return lower > 0 ? 'more' : 'cannot tell';
}

/**
 * What do studies that did both say of two sites, in words?
 *
 * Fewer or more when the interval excludes no difference; little difference when it stays within the smallest
 * difference that matters; otherwise we cannot tell. Very low certainty is "we cannot tell" whatever the numbers, low
 * certainty says "perhaps", moderate "probably". The people at each site come first; a ratio is never said.
 *
 * @param rating how sure, where it was rated
 * @example
 * pairInWords(evidence, outcome).title
 * // 'Cosmetic deformity: about 22 fewer in 100 after subpectoral fixation than after tenotomy'
 */
export function pairInWords(
  evidence: PairEvidence,
  outcome: EventsOutcome,
  rating?: CertaintyRating,
): PairInWords {
  const { treatment, comparator, risks, pair } = evidence;
  const material = outcome.thresholdsPer100.materialDifference / 100;
  const message = messageOf(evidence, material);
  const base = peopleBaseFor(risks === undefined ? [] : [risks.treatment, risks.comparator]);
  const both = `${siteInSentence[treatment]} against ${siteInSentence[comparator]}`;
  const certainty = certaintyInWords(rating);
  // A ratio without a risk to apply it to is an estimate, and no number of people.
  const gap = evidence.pair.pool.natural?.interval === undefined ? 'no estimate' : 'no risk to start from';
  if (risks === undefined)
    return {
      message,
      base,
      title: `${outcome.name}, ${both}: we cannot tell`,
      opening:
        evidence.studies === 0
          ? 'No study counted it after both.'
          : `${startLarge(counted(evidence.studies, 'study', 'studies'))} counted it after both and ${agreeing(evidence.studies, 'gives', 'give')} ${gap}.`,
      risks: [],
      difference: undefined,
      cell: `cannot tell: ${gap}`,
      certainty,
      elsewhere: undefined,
    };
  const people = (rate: number): number => peopleAmong(rate, undefined, base).about;
  const shown = people(risks.treatment) - people(risks.comparator);
  const words = differenceInWords(risks.difference, base, { shown });
  const after = (site: typeof treatment, rate: number): string =>
    `${aboutInHundred(rate, undefined, undefined, { base }).about.replace(/ in [\d,]+$/, '')} ${afterSite[site]}`;
  const odds = pair.pool.natural?.prediction;
  return {
    message,
    base,
    title: titleOf(message, words.about, evidence, outcome, rating, material),
    opening: `In ${basisInWords(evidence)}, of ${wholeText(base)} shoulders:`,
    risks: [after(comparator, risks.comparator), after(treatment, risks.treatment)],
    difference:
      rating?.level === 'very low'
        ? `Seen in them: ${words.about}, ${words.likely}.`
        : `${startLarge(words.about)}, ${words.likely}.`,
    cell:
      message === 'cannot tell' || rating?.level === 'very low'
        ? `cannot tell: ${rangeAlone(words.likely)}`
        : `${words.about.replace(/ in [\d,]+$/, '')} (${rangeAlone(words.likely).replace(/ (?:fewer|more)$/, '')})`,
    certainty,
    elsewhere:
      odds === undefined
        ? undefined
        : odds.lower < 1 && odds.upper > 1
          ? `${pair.pool.studies < 5 ? 'With so few studies the' : 'The'} next hospital could still see either way.`
          : 'The next hospital would be expected to see it the same way round.',
  };
}

/** `likely between 12 and 26 fewer` as `12 to 26 fewer`. */
const rangeAlone = (likely: string): string =>
  likely
    .replace('anything from ', '')
    .replace(/likely between ([\d,]+) and/, '$1 to')
    .replace('likely no more than', 'up to')
    .replace(/^likely /, '');

/** How sure, why not surer, and whether a person has looked. */
function certaintyInWords(rating: CertaintyRating | undefined): string {
  if (rating?.level === undefined) return 'How sure: not rated.';
  const down = rating.domains.filter(({ levels }) => levels < 0).map(({ domain }) => domain);
  const why = [
    ...(down.length === 0 ? [] : [`rated down for ${down.join(', ').replace(/, ([^,]*)$/, ' and $1')}`]),
    ...(rating.confirmed ? [] : ['proposed by the numbers, not yet confirmed']),
  ].join('; ');
  return `How sure: ${rating.level} certainty${why === '' ? '' : ` (${why})`}.`;
}

const basisInWords = ({ basis, pair }: PairEvidence): string =>
  basis === 'randomised trials'
    ? counted(pair.pool.studies, 'randomised trial')
    : `${counted(pair.pool.studies, basis === 'non-randomised studies' ? 'non-randomised study' : 'study', basis === 'non-randomised studies' ? 'non-randomised studies' : 'studies')} that did both`;

function titleOf(
  message: PairMessage,
  about: string,
  evidence: PairEvidence,
  outcome: EventsOutcome,
  rating: CertaintyRating | undefined,
  material: number,
): string {
  const { treatment, comparator, risks } = evidence;
  const both = `${siteInSentence[treatment]} against ${siteInSentence[comparator]}`;
  if (rating?.level === 'very low')
    return `${outcome.name}, ${both}: we cannot tell, the evidence is very uncertain`;
  if (message === 'cannot tell' || risks === undefined)
    return `${outcome.name}, ${both}: we cannot tell which has fewer`;
  const how = { low: 'perhaps ', moderate: 'probably ', high: '' }[rating?.level ?? 'high'];
  if (message === 'little difference') return `${outcome.name}, ${both}: ${how}little or no difference`;
  const { lower, upper } = risks.difference;
  const small = (message === 'fewer' ? -upper : lower) < material ? ', maybe too few to matter' : '';
  return `${outcome.name}: ${how}${about} ${afterSite[treatment]} than ${afterSite[comparator]}${small}`;
}

/** People to draw for both sites: the upper limit only where the estimate carries the interval. */
export function peopleOfPair(
  { risks, treatment, comparator }: PairEvidence,
  base: PeopleBase,
): readonly {
  readonly site: PairEvidence['treatment'];
  readonly filled: number;
  readonly upTo: number;
}[] {
  if (risks === undefined) return [];
  const one = (site: typeof treatment, rate: number, upper: number | undefined) => {
    const limits =
      upper === undefined ? undefined : { lower: rate, upper: Math.min(1, Math.max(rate, upper)) };
    const people = peopleAmong(rate, limits, base);
    return { site, filled: people.about, upTo: Math.max(people.about, people.upper ?? 0) };
  };
  const { difference, held } = risks;
  return [
    one(comparator, risks.comparator, held === 'comparator' ? undefined : risks.treatment - difference.lower),
    one(treatment, risks.treatment, held === 'treatment' ? undefined : risks.comparator + difference.upper),
  ];
}
