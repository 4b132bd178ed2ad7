import { type ArmEvents, sheetArmsOf } from '../extraction/armEvents.ts';
import { armKey } from '../extraction/armKey.ts';
import { isReported, type Reported } from '../extraction/reported.ts';
import type { Review } from '../extraction/review.ts';
import { rowKey } from '../extraction/trace/traceOf.ts';
import { agreeing, counted, whole } from '../wording/words.ts';
import type { Caution } from './caution.ts';

/** From this many times the shortest follow-up on, one proportion joins unlike times; ours, no source. */
export const wideFollowUp = 2;

/** How long the arms behind a number were followed. */
export interface FollowUpSpan {
  /** Shortest and longest, in months; undefined where no arm reports it. */
  readonly shortest: number | undefined;
  readonly longest: number | undefined;
  /** Arms that do not report it. */
  readonly silent: number;
}

/** Whether the shoulders of the arms behind a number may come from fewer patients. */
export interface PatientsOfArms {
  /** Arms with more shoulders than patients. */
  readonly more: readonly ArmEvents[];
  /** Shoulders and patients of those arms. */
  readonly shoulders: number;
  readonly patients: number;
  /** Arms of which the sheets do not tell. */
  readonly unknown: readonly ArmEvents[];
}

/** Shortest and longest follow-up of these arms, and how many are silent. */
export function followUpSpan(together: readonly ArmEvents[]): FollowUpSpan {
  const arms = together.flatMap(sheetArmsOf);
  const months = arms.flatMap(({ followUpMonths }) => (isReported(followUpMonths) ? [followUpMonths] : []));
  return {
    shortest: months.length === 0 ? undefined : Math.min(...months),
    longest: months.length === 0 ? undefined : Math.max(...months),
    silent: arms.length - months.length,
  };
}

/** Is this span so wide that one proportion joins unlike times? */
export const isWideSpan = ({ shortest, longest }: FollowUpSpan): boolean =>
  shortest !== undefined && longest !== undefined && longest > shortest && longest >= wideFollowUp * shortest;

/**
 * Which of these arms count more shoulders than patients, and of which is it not known?
 *
 * The patients of the count itself decide where its row gives them, else patients and shoulders at follow-up, else those
 * enrolled. A blank is not taken as one patient a shoulder.
 */
export function patientsOfArms(
  together: readonly ArmEvents[],
  review: Pick<Review, 'arms' | 'events'>,
): PatientsOfArms {
  const arms = together.flatMap(sheetArmsOf);
  const known = new Map(review.arms.map((arm) => [armKey(arm), arm]));
  const counts = new Map(review.events.map((row) => [rowKey(row.row), row]));
  const more: ArmEvents[] = [];
  const unknown: ArmEvents[] = [];
  let [shoulders, patients] = [0, 0];
  for (const arm of arms) {
    const row = known.get(armKey(arm));
    const pair =
      pairOf(arm.total, counts.get(rowKey(arm.row))?.eligiblePatients) ??
      pairOf(row?.shouldersAnalysed, row?.patientsAnalysed) ??
      pairOf(row?.shouldersEnrolled, row?.patientsEnrolled) ??
      countAgainst(arm.total, row?.patientsAnalysed);
    if (pair === undefined) unknown.push(arm);
    else if (pair.shoulders > pair.patients) {
      more.push(arm);
      shoulders += pair.shoulders;
      patients += pair.patients;
    }
  }
  return { more, shoulders, patients, unknown };
}

interface Pair {
  readonly shoulders: number;
  readonly patients: number;
}

function pairOf(
  shoulders: Reported<number> | undefined,
  patients: Reported<number> | undefined,
): Pair | undefined {
  if (shoulders === undefined || patients === undefined) return undefined;
  return isReported(shoulders) && isReported(patients) ? { shoulders, patients } : undefined;
}

/** Shoulders looked at beside all patients of the arm: fewer shoulders do not tell, since not all were looked at. */
function countAgainst(shoulders: number, patients: Reported<number> | undefined): Pair | undefined {
  const pair = pairOf(shoulders, patients);
  return pair !== undefined && pair.shoulders >= pair.patients ? pair : undefined;
}

/**
 * What must a reader know of the arms behind one number, before the number is quoted?
 *
 * - `follow-up-span`: the longest follow-up is at least {@link wideFollowUp} times the shortest, or arms do not report it;
 *   the number is one proportion all the same.
 * - `shoulders-of-one-patient`: arms hold more shoulders than patients, or do not tell; every shoulder counts as
 *   independent, so that the interval can be too narrow.
 *
 * @param arms the arms in the number, such as `armsInNumber` of a pool
 * @param review the sheets they come from
 * @returns cautions with a sentence each; none where follow-up is alike and every shoulder is a patient
 * @see Cochrane Handbook for Systematic Reviews of Interventions, version 5.1, sections 9.3.4 (several times of follow-up)
 *   and 9.3.7 (body parts that receive the same intervention). The bound of the span is ours, no source.
 * @example
 * notesOnArms(pool.armsInNumber, review).map(({ message }) => message)
 */
export function notesOnArms(
  arms: readonly ArmEvents[],
  review: Pick<Review, 'arms' | 'events'>,
): readonly Caution[] {
  // Arms that are counted together are looked at one by one.
  const ofSheets = arms.flatMap(sheetArmsOf);
  return [...followUpNote(ofSheets), ...patientsNote(ofSheets, review)];
}

function followUpNote(arms: readonly ArmEvents[]): readonly Caution[] {
  const span = followUpSpan(arms);
  const { shortest, longest, silent } = span;
  const wide = isWideSpan(span);
  if (arms.length === 0 || (!wide && silent === 0)) return [];
  const notKnown = `${counted(silent, 'arm')} ${agreeing(silent, 'does', 'do')} not report it`;
  const range = shortest === longest ? `${shortest} months` : `${shortest} to ${longest} months`;
  const message =
    shortest === undefined
      ? `Follow-up is not reported by ${arms.length === 1 ? 'the arm' : `any of the ${counted(arms.length, 'arm')}`} in this number: it has no time attached.`
      : wide
        ? `Arms followed for ${range} are taken as one proportion${silent === 0 ? '' : `; ${notKnown}`}.`
        : `Follow-up is ${range} where reported; ${notKnown}, and all are taken as one proportion.`;
  return [{ code: 'follow-up-span', message }];
}

function patientsNote(
  arms: readonly ArmEvents[],
  review: Pick<Review, 'arms' | 'events'>,
): readonly Caution[] {
  const { more, unknown, shoulders, patients } = patientsOfArms(arms, review);
  if (more.length + unknown.length === 0) return [];
  const of = counted(arms.length, 'arm');
  const facts = [
    ...(more.length === 0
      ? []
      : [
          `${more.length} of ${of} ${agreeing(more.length, 'holds', 'hold')} more shoulders than patients (${whole(shoulders)} of ${whole(patients)})`,
        ]),
    ...(unknown.length === 0
      ? []
      : [
          `${more.length === 0 ? `${unknown.length} of ${of}` : unknown.length} ${agreeing(unknown.length, 'does', 'do')} not report patients beside shoulders`,
        ]),
  ];
  return [
    {
      code: 'shoulders-of-one-patient',
      message: `Shoulders are taken as independent, although two may be of one patient: ${facts.join('; ')}. The interval can be too narrow.`,
    },
  ];
}
