import type { LeftOut } from '../effects/estimate.ts';
import type { ArmEvents } from '../extraction/armEvents.ts';

/** An arm that was handed in and is not in the quoted number, and why. */
export interface ArmNotInNumber {
  readonly arm: ArmEvents;
  /** In the words of {@link LeftOut}. */
  readonly reason: LeftOut['reason'];
}

/** Studies, shoulders and events of some arms. */
export interface ArmCounts {
  readonly studies: number;
  readonly shoulders: number;
  readonly events: number;
}

/** How many studies, shoulders and events do these arms hold? A study of several arms is counted once. */
export function countsOf(arms: readonly ArmEvents[]): ArmCounts {
  let shoulders = 0;
  let events = 0;
  const studies = new Set<string>();
  for (const arm of arms) {
    shoulders += arm.total;
    events += arm.events;
    studies.add(arm.study);
  }
  return { studies: studies.size, shoulders, events };
}

/**
 * Which counts may stand beside a pool? Those of the arms in its number; where there is no number nothing is claimed to
 * rest on any arm, and the counts are those of all of them.
 */
export const countsBeside = (
  pool: ArmCounts & { readonly headline: unknown; readonly arms: readonly ArmEvents[] },
): ArmCounts => (pool.headline === undefined ? countsOf(pool.arms) : pool);

/** Pairs of arms whose study is not in a pooled effect, as {@link notInNumberSentence}. */
export const studiesNotInNumber = (
  studies: readonly { readonly treated: CountedGroup; readonly comparator: CountedGroup }[],
): string =>
  notInNumberSentence(
    studies.map(({ treated, comparator }) => ({
      events: treated.events + comparator.events,
      total: treated.total + comparator.total,
    })),
    'study',
  );

/** What is said of a group that is not in a number: its counts, with `n` of them. */
interface CountedGroup {
  readonly events: number;
  readonly total: number;
}

/**
 * Which arms does the number beside this sentence not rest on? "3 arms of 750 shoulders without events are not in this
 * number."; empty where it rests on all of them.
 *
 * @example
 * notInNumberSentence(pool.armsNotInNumber.map(({ arm }) => arm))
 */
export function notInNumberSentence(groups: readonly CountedGroup[], group = 'arm'): string {
  if (groups.length === 0) return '';
  return `${notInNumberList(groups, group)} ${groups.length === 1 ? 'is' : 'are'} not in this number.`;
}

/** "3 arms of 750 shoulders without events", kinds joined by "and"; empty for no group. */
export function notInNumberList(groups: readonly CountedGroup[], group = 'arm'): string {
  const kinds: readonly [string, (each: CountedGroup) => boolean][] = [
    [' without events', ({ events }) => events === 0],
    [' with nothing but events', ({ events, total }) => events === total && events > 0],
    [' without an estimate', ({ events, total }) => events > 0 && events < total],
  ];
  return kinds
    .flatMap(([what, meets]) => {
      const own = groups.filter(meets);
      if (own.length === 0) return [];
      const shoulders = own.reduce((sum, { total }) => sum + total, 0);
      return [`${counted(own.length, group)} of ${counted(shoulders, 'shoulder')}${what}`];
    })
    .join(' and ');
}

const counted = (count: number, what: string): string =>
  `${count.toLocaleString('en-GB')} ${what === 'study' ? (count === 1 ? 'study' : 'studies') : `${what}${count === 1 ? '' : 's'}`}`;
