import { markNumberOf } from '../../answers/printAnswer.ts';
import type { CertaintyLevel, CertaintyRating, DomainJudgement } from '../../certainty/certaintyRating.ts';
import { levelsText } from '../../certainty/rateCertainty.ts';
import { operationName } from './findingsText.ts';

/** What is said wherever a certainty is shown that no person has decided on. */
export const notYetDecided = 'proposed by the program, not yet decided by people';

/** A bar that rises with certainty, behind the word: it needs no colour and is never shown alone. */
export const certaintyMarks: Readonly<Record<CertaintyLevel, string>> = {
  'very low': '\u2581',
  low: '\u2583',
  moderate: '\u2585',
  high: '\u2587',
};

/** The level as a table prints it: the word, its bar, and "proposed" until people have decided. */
export function certaintyText({ level, confirmed }: Pick<CertaintyRating, 'level' | 'confirmed'>): string {
  if (level === undefined) return 'no study';
  return `${level} ${certaintyMarks[level]}${confirmed ? '' : ' (proposed)'}`;
}

/** What each level means to a reader. */
export const certaintyLegend =
  `Certainty: how near the truth the number is likely to be. High ${certaintyMarks.high}: close to it; ` +
  `moderate ${certaintyMarks.moderate}: probably close; low ${certaintyMarks.low}: it may be quite different; ` +
  `very low ${certaintyMarks['very low']}: it is likely to be quite different.`;

/** One domain's judgement for a footnote: the levels, who judged, and why (of a proposal, the facts that made the step). */
function changeText(judgement: DomainJudgement): string {
  const { domain, proposed, decided, reason, evidence, decisive = evidence.slice(0, 1), levels } = judgement;
  const name = `${domain.charAt(0).toUpperCase()}${domain.slice(1)}`;
  if (decided === undefined)
    return `${name}, ${levelsText(levels)} (proposed): ${decisive.length === 0 ? 'no evidence given' : decisive.join(' ')}`;
  const against = decided === proposed ? '' : `; the data proposed ${levelsText(proposed)}`;
  return `${name}, ${levelsText(levels)} (decided by people${against}): ${ended(reason ?? 'no reason given')}`;
}

/** The domains that moved the level, or that a person kept from moving it. */
function changesOf(rating: CertaintyRating): readonly DomainJudgement[] {
  if (rating.level === undefined) return [];
  return rating.domains.filter(({ levels, proposed }) => levels !== 0 || proposed !== 0);
}

/** Every fact that moved a level, for footnotes: domain by domain, and the ceiling of the body where that took a level. */
export function footnotesOf(rating: CertaintyRating): readonly string[] {
  const ceiling = rating.steps.find(({ what, levels }) => what === 'bounds' && levels < 0);
  return [
    ...changesOf(rating).map((change) => markNumberOf(rating, changeText(change))),
    ...(ceiling === undefined || rating.level === 'high' ? [] : [ceiling.words]),
  ];
}

/**
 * The standard sentence for a table that names the comparison above and holds the numbers in its cells: what happens,
 * by certainty and size of effect.
 */
export function whatHappens(rating: CertaintyRating): string {
  const { sentence, body, question } = rating;
  const from = body.estimate === undefined ? -1 : sentence.indexOf(': ');
  const whole = from === -1 ? sentence : sentence.slice(from + 2);
  const words =
    question.kind === 'rate'
      ? whole
      : whole.replace(`, compared with ${operationName(question.comparator)}`, '');
  return words.charAt(0).toUpperCase() + words.slice(1);
}

const ended = (words: string): string => (/[.!?]$/.test(words) ? words : `${words}.`);
