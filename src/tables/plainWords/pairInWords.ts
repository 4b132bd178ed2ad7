import type { PairToTell } from '../../answers/pairToTell.ts';
import type { Verdict } from '../../answers/verdict.ts';
import { bodyInWords, mixtureNote } from '../../certainty/bodyInWords.ts';
import type { CertaintyRating } from '../../certainty/certaintyRating.ts';
import { differenceInHundred } from '../../certainty/perHundred.ts';
import { type PeopleBase, peopleAmong, peopleBaseFor } from '../../effects/peopleAmong.ts';
import type { EventsOutcome } from '../../extraction/protocol.ts';
import { studiesNotInNumber } from '../../pooling/armsInNumber.ts';
import { markAnswer } from '../../wording/answerMark.ts';
import { noDifference } from '../../wording/ratioText.ts';
import { agreeing, counted } from '../../wording/words.ts';
import { aboutInHundred, startLarge, wholeText } from './aboutInHundred.ts';
import { differenceInWords } from './differenceInWords.ts';
import { afterSite, siteInSentence } from './siteWords.ts';

/** Two sites set against each other, in words for a room: absolute numbers, and no ratio. */
export interface PairInWords {
  /** What may be said of the first site against the second. */
  readonly verdict: Verdict;
  readonly base: PeopleBase;
  /** The message in a sentence, without a full stop. */
  readonly title: string;
  /** `In 3 studies that did both, of 100 shoulders:` */
  readonly opening: string;
  /** `about 28 after tenotomy` and `about 6 after subpectoral fixation`; empty when no study tells. */
  readonly risks: readonly string[];
  /** Whose risk the difference is said at: `The difference is said at the risk after tenotomy in these studies.` */
  readonly held: string | undefined;
  /** Studies that counted it after both and are not in the number. */
  readonly outside: string | undefined;
  /** `About 22 fewer in 100, likely between 12 and 26 fewer.` */
  readonly difference: string | undefined;
  /** The difference and its range apart, for a cell of a table. */
  readonly cell: string;
  /** `How sure: low certainty.` */
  readonly certainty: string;
  /** What to expect elsewhere, where it can be said. */
  readonly elsewhere: string | undefined;
}

/**
 * What do studies that did both say of two sites, in words?
 *
 * The title says what the answer's verdict says and no more; low certainty says "perhaps", moderate "probably". The people
 * at each site come first; a ratio is never said.
 *
 * @example
 * pairInWords(pairToTell(answers, 'cosmetic-deformity', 'subpectoral', 'tenotomy'), outcome).title
 * // 'Cosmetic deformity: about 22 fewer in 100 after subpectoral fixation than after tenotomy'
 */
export function pairInWords(told: PairToTell, outcome: Pick<EventsOutcome, 'name'>): PairInWords {
  const { treatment, comparator, risks, answer, verdict, studies } = told;
  const rating = answer.behind.rating;
  const base = peopleBaseFor(risks === undefined ? [] : [risks.treatment, risks.comparator]);
  const pairName = `${siteInSentence[treatment]} against ${siteInSentence[comparator]}`;
  const certainty = certaintyInWords(rating);
  // A ratio without a risk to apply it to is an estimate, and no number of people.
  const gap = answer.behind.pair?.effect?.interval === undefined ? 'no estimate' : 'no risk to start from';
  if (risks === undefined)
    return {
      verdict,
      base,
      title: `${outcome.name}, ${pairName}: we cannot tell`,
      opening:
        studies === 0
          ? 'No study counted it after both.'
          : `${startLarge(counted(studies, 'study', 'studies'))} counted it after both and ${agreeing(studies, 'gives', 'give')} ${gap}.`,
      risks: [],
      held: undefined,
      outside: undefined,
      difference: undefined,
      cell: `cannot tell: ${gap}`,
      certainty,
      elsewhere: undefined,
    };
  const people = (rate: number): number => peopleAmong(rate, undefined, base).about;
  const shown = people(risks.treatment) - people(risks.comparator);
  const { about } = differenceInWords(risks.difference, base, { shown });
  const exactly = markAnswer(answer.asPlanned ? answer.id : undefined, differenceText(risks.difference));
  const after = (site: typeof treatment, rate: number): string =>
    `${aboutInHundred(rate, undefined, undefined, { base }).about.replace(/ in [\d,]+$/, '')} ${afterSite[site]}`;
  // Of the number told, not of the pool beside it.
  const odds = answer.behind.pair?.effect?.prediction;
  const none = noDifference(answer.quoted?.relative?.measure ?? 'odds-ratio');
  const mixed = mixtureNote(answer.body);
  const cannot = verdict === 'cannot be told' || verdict === 'not rated';
  // Rounded words first, for the ear, where they do not say the same twice.
  const twice = differenceText(risks.difference).startsWith(`${about.replace(/^about /, '')} (`);
  const rounded = Math.abs(risks.difference.value) >= 0.095 && !twice ? `${startLarge(about)}: ` : '';
  return {
    verdict,
    base,
    title: titleOf(told, about, outcome),
    opening: `In ${basisInWords(told)}, of ${wholeText(base)} shoulders:`,
    held: `The difference is said at the risk ${afterSite[risks.riskOf]} in these studies.`,
    outside: studiesNotInNumber(answer.behind.pair?.notInNumber ?? []) || undefined,
    risks: [after(comparator, risks.comparator), after(treatment, risks.treatment)],
    difference: cannot
      ? `Seen in them: ${exactly}${mixed}.`
      : `${rounded}${rounded === '' ? startLarge(exactly) : exactly}${mixed}.`,
    cell: `${cannot ? `cannot tell: ${exactly}` : exactly}${mixed}`,
    certainty,
    elsewhere:
      odds === undefined
        ? undefined
        : odds.lower < none && odds.upper > none
          ? `${answer.studies < 5 ? 'With so few studies the' : 'The'} next hospital could still see either way.`
          : // What cannot be told of these studies is not expected of the next.
            cannot
            ? undefined
            : 'The next hospital would be expected to see it the same way round.',
  };
}

/** A difference of proportions as every product prints it: `7.9 fewer in 100 (13 fewer to 2.1 more)`. */
const differenceText = ({ value, lower, upper }: NonNullable<PairToTell['risks']>['difference']): string =>
  lowerFirst(differenceInHundred({ value: 100 * value, lower: 100 * lower, upper: 100 * upper }));

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

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

const basisInWords = ({ answer }: PairToTell): string =>
  answer.body === 'series against series'
    ? `${counted(answer.studies, 'study', 'studies')} of one site each, which compared nothing`
    : bodyInWords({ design: answer.body, studies: answer.studies, trials: answer.trials }, ' that did both');

function titleOf(told: PairToTell, about: string, outcome: Pick<EventsOutcome, 'name'>): string {
  const { treatment, comparator, verdict, answer } = told;
  const [one, other] = [afterSite[treatment], afterSite[comparator]];
  const { level } = answer.certainty;
  const how = { low: 'perhaps ', moderate: 'probably ', high: '' }[
    level === 'very low' ? 'low' : (level ?? 'low')
  ];
  const by = `by ${answer.material} or more in 100`;
  switch (verdict) {
    case 'fewer':
    case 'more':
      return `${outcome.name}: ${how}${about} ${one} than ${other}${answer.body === 'all comparative studies' ? ' (trials and other studies pooled together)' : ''}`;
    case 'not more':
      return `${outcome.name}: ${how}not more ${one} than ${other} ${by}; fewer are possible`;
    case 'not fewer':
      return `${outcome.name}: ${how}not fewer ${one} than ${other} ${by}; more are possible`;
    case 'no difference that matters':
      return `${outcome.name}, ${siteInSentence[treatment]} against ${siteInSentence[comparator]}: ${how}no difference that matters`;
    default:
      return `${outcome.name}, ${siteInSentence[treatment]} against ${siteInSentence[comparator]}: we cannot tell${level === 'very low' ? ', the evidence is very uncertain' : ' which has fewer'}`;
  }
}

/** People to draw for both sites: the upper limit only where the estimate carries the interval. */
export function peopleOfPair(
  { risks, treatment, comparator }: PairToTell,
  base: PeopleBase,
): readonly {
  readonly site: PairToTell['treatment'];
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
  // A risk taken as known has no limit of its own to draw.
  const upperOf = (side: 'treatment' | 'comparator'): number | undefined =>
    risks.held === side && risks.riskKnown ? undefined : risks.limits[side].upper;
  return [
    one(comparator, risks.comparator, upperOf('comparator')),
    one(treatment, risks.treatment, upperOf('treatment')),
  ];
}
