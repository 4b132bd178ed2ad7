import type { PrintedStatistic } from '../../extraction/printedStatistic.ts';
import { type ArithmeticCheck, printsAs } from './arithmeticCheck.ts';

/** Numbers of an arm that a printed count may have been taken out of. */
export interface ArmTotals {
  readonly name: string;
  readonly totals: readonly number[];
}

/**
 * Does a count printed with its denominator (`7/20`) belong to the arm it is printed for?
 *
 * The denominator should be one of the arm's own numbers. One that is another arm's number instead looks swapped.
 *
 * @param events events typed for the arm and outcome, where known
 * @example
 * checkCount(printed, { name: 'tenotomy', totals: [22] }, [{ name: 'tenodesis', totals: [20] }])
 */
export function checkCount(
  printed: PrintedStatistic,
  arm: ArmTotals,
  others: readonly ArmTotals[],
  events: readonly number[] = [],
): ArithmeticCheck {
  const { denominator } = printed;
  if (denominator === undefined) {
    if (events.length === 0)
      return { verdict: 'cannot be checked', reason: 'The sheets hold no count to compare it with.' };
    if (events.some((each) => printsAs(printed, each)))
      return { verdict: 'fits', by: 'the count of events.csv' };
    return {
      verdict: 'does not fit',
      kind: 'count',
      strength: 'contradiction',
      counts: `The count elsewhere in the paper is ${[...new Set(events)].join(' or ')}.`,
      wouldFit: [],
    };
  }
  if (printed.value > denominator) {
    return {
      verdict: 'does not fit',
      kind: 'count',
      strength: 'contradiction',
      counts: `${printed.value} cannot be more than the ${denominator} it is counted out of.`,
      wouldFit: [],
    };
  }
  if (arm.totals.length === 0)
    return {
      verdict: 'cannot be checked',
      reason: 'No number of shoulders or patients of the arm is known.',
    };
  if (arm.totals.includes(denominator)) {
    if (events.length === 0 || events.includes(printed.value))
      return { verdict: 'fits', by: 'a number of the arm' };
    return {
      verdict: 'does not fit',
      kind: 'count',
      strength: 'contradiction',
      counts: `The count elsewhere in the paper is ${[...new Set(events)].join(' or ')}.`,
      wouldFit: [],
    };
  }
  const owner = others.find(({ totals }) => totals.includes(denominator));
  const own = eitherOf([...new Set(arm.totals)].sort((a, b) => a - b));
  return {
    verdict: 'does not fit',
    kind: 'denominator',
    strength: owner === undefined ? 'question' : 'contradiction',
    counts: `The arm has ${own} shoulders or patients, not ${denominator}.`,
    wouldFit:
      owner === undefined
        ? []
        : [`${denominator} is the number of ${owner.name}: the denominators, or the arms, may be swapped.`],
  };
}

/** `63, 64 or 66` */
const eitherOf = (numbers: readonly number[]): string =>
  numbers.length < 2 ? numbers.join('') : `${numbers.slice(0, -1).join(', ')} or ${numbers.at(-1)}`;
