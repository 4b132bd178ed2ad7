import { type Cuts, type Reach, type Region, reachOf, regions, type Verdict } from '../answers/verdict.ts';
import type { AnswerTold } from './answerTold.ts';

export { type Cuts, differenceCuts, type Reach, type Region } from '../answers/verdict.ts';

/** Does this leave every part open, so that nothing can be told? */
export function tellsNothing(reach: Reach, cuts: Cuts): boolean {
  return reach === undefined || reach.length === (cuts.lower === cuts.upper ? 2 : 3);
}

/** Is every part of the one among the parts of the other? */
export const within = (one: readonly Region[], other: readonly Region[]): boolean =>
  one.every((region) => other.includes(region));

export const sameReach = (one: Reach, other: Reach): boolean =>
  one === undefined || other === undefined
    ? one === other
    : one.length === other.length && within(one, other);

const leftOpen: Partial<Readonly<Record<Verdict, readonly Region[]>>> = {
  fewer: ['below'],
  'not more': ['below', 'between'],
  'no difference that matters': ['between'],
  'not fewer': ['between', 'above'],
  more: ['above'],
};

/**
 * The parts of the line an answer leaves open: for two sites those its verdict leaves open, all of them where it cannot be
 * told or nobody rated it; for one site against a bound those its interval reaches, all of them at very low certainty.
 * Undefined where there is no number.
 */
export function reachOfAnswer(answer: AnswerTold | undefined, cuts: Cuts): Reach {
  const { lower, upper, verdict, certainty, question } = answer ?? {};
  if (lower === undefined || upper === undefined || question === undefined) return undefined;
  if ('comparator' in question) return leftOpen[verdict!] ?? regions;
  const single = cuts.lower === cuts.upper;
  const all = single ? regions.filter((region) => region !== 'between') : regions;
  return certainty === 'very low' || certainty === undefined ? all : reachOf({ lower, upper }, cuts);
}
