import { siteNames } from '../extraction/site.ts';
import type { AnswerTold } from './answerTold.ts';
import { type Cuts, differenceCuts, type Reach, tellsNothing } from './reaches.ts';

const low = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

/** What a reach says of the first site against the second, in a few words for a table. */
export function shortConclusion(reach: Reach, cuts: Cuts): string {
  if (reach === undefined) return 'no answer';
  if (tellsNothing(reach, cuts)) return 'cannot be told';
  const words: Readonly<Record<string, string>> = {
    below: 'fewer',
    'below between': 'not more',
    between: 'no difference that matters',
    'between above': 'not fewer',
    above: 'more',
  };
  return words[reach.join(' ')] ?? 'cannot be told';
}

/**
 * The cuts by which an answer is read.
 *
 * @throws RangeError for a score on a scale its difference that matters was not stated for
 */
export function cutsOf({ material }: Pick<AnswerTold, 'material'>): Cuts {
  if (material === undefined)
    throw new RangeError('material must be known to draw a conclusion, received undefined');
  return differenceCuts(material);
}

/** The same as a clause: `suprapectoral has fewer than tenotomy, by 5 or more in 100`. */
export function conclusionClause(answer: Pick<AnswerTold, 'question' | 'material'>, reach: Reach): string {
  const { question } = answer;
  const { site } = question;
  const comparator = 'comparator' in question ? question.comparator : undefined;
  const one = low(siteNames[site]);
  const other = low(siteNames[comparator ?? site]);
  const by = `${answer.material} or more in 100`;
  const cuts = cutsOf(answer);
  if (reach === undefined) return `no study gives a difference between ${one} and ${other}`;
  if (tellsNothing(reach, cuts)) return `whether ${one} and ${other} differ by ${by} cannot be told`;
  const clauses: Readonly<Record<string, string>> = {
    below: `${one} has fewer than ${other}, by ${by}`,
    'below between': `${one} does not have more than ${other} by ${by}, but may have as many or fewer`,
    between: `${one} and ${other} do not differ by ${by}`,
    'between above': `${one} does not have fewer than ${other} by ${by}, but may have as many or more`,
    above: `${one} has more than ${other}, by ${by}`,
  };
  return clauses[reach.join(' ')] ?? `whether ${one} and ${other} differ by ${by} cannot be told`;
}
