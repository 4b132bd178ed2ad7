import { selectScores } from '../../effects/scores/selectScores.ts';
import { countOfRow } from '../../extraction/countOfRow.ts';
import type { ProtocolOutcome } from '../../extraction/protocol.ts';
import { isReported } from '../../extraction/reported.ts';
import type { ArmRow, Review } from '../../extraction/review.ts';
import { selectEvents } from '../../extraction/selectEvents.ts';
import { studyDesigns } from '../../extraction/sheets/studiesSheet.ts';

/** What a study says of an outcome, from most to least. */
export const availabilities = [
  'used',
  'in another report',
  'reported otherwise',
  'without a number',
  'not reported',
] as const;
/**
 * `used`: a count or score stands in the analysis. `in another report`: of the same patients, and that one is used.
 * `reported otherwise`: with numbers, but by a definition, at a time or in a way the protocol does not accept. `without a
 * number`: mentioned, but no usable count or score can be read. `not reported`: no row at all.
 */
export type Availability = (typeof availabilities)[number];

/** One outcome of one study. */
export interface OutcomeOfStudy {
  readonly outcome: string;
  readonly availability: Availability;
  /** Why, where it is neither used nor silent. */
  readonly reason: string | undefined;
  /** Arms of the study with and without a value in the analysis. */
  readonly armsUsed: number;
  readonly armsWithout: number;
}

export interface StudyAvailability {
  readonly study: string;
  readonly label: string;
  readonly year: number;
  /** Shoulders at follow-up over all its arms; undefined where an arm reports none. */
  readonly shoulders: number | undefined;
  /** In the order of `outcomes`. */
  readonly cells: readonly OutcomeOfStudy[];
}

/** What is known to be missing from one outcome's analysis. */
export interface OutcomeAvailability {
  readonly outcome: string;
  readonly name: string;
  readonly kind: ProtocolOutcome['kind'];
  readonly studies: Readonly<Record<Availability, number>>;
  /** Share of the eligible studies whose patients are in the analysis. */
  readonly share: number;
}

/** Which study reports what. */
export interface MissingEvidence {
  readonly kind: 'missing-evidence';
  /** Eligible by design, in the order of studies.csv. */
  readonly studies: readonly StudyAvailability[];
  readonly outcomes: readonly OutcomeAvailability[];
}

/**
 * Which outcomes did each study not report?
 *
 * Every eligible study against every outcome of the protocol. A study that looked and did not print the number is told
 * apart from one that is silent, and one that reports it in another way from both: silence is never read as "none".
 *
 * Source: Page MJ et al., Cochrane Handbook 2023, chapter 13 (bias due to missing evidence), section 13.3.
 *
 * @example
 * missingEvidence(review).outcomes[0]?.share // 0.91
 */
export function missingEvidence(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'events' | 'scores'>,
): MissingEvidence {
  const { protocol } = review;
  const designs = protocol.designs ?? studyDesigns;
  const studies = review.studies.filter(({ design }) => designs.includes(design));
  const readers = protocol.outcomes.map((outcome) => readerOf(review, outcome));
  const armsOf = (study: string): readonly ArmRow[] => review.arms.filter((arm) => arm.study === study);
  const rows = studies.map((study): StudyAvailability => {
    const arms = armsOf(study.study);
    const sizes = arms.map((arm) => arm.shouldersAnalysed);
    return {
      study: study.study,
      label: study.label,
      year: study.year,
      shoulders: sizes.every(isReported)
        ? sizes.reduce<number>((sum, size) => sum + Number(size), 0)
        : undefined,
      cells: readers.map((read) => read(study.study, arms.length)),
    };
  });
  return {
    kind: 'missing-evidence',
    studies: rows,
    outcomes: protocol.outcomes.map(({ id, name, kind }, at) => {
      const counts = Object.fromEntries(availabilities.map((each) => [each, 0])) as Record<
        Availability,
        number
      >;
      for (const { cells } of rows) counts[cells[at]!.availability] += 1;
      return {
        outcome: id,
        name,
        kind,
        studies: counts,
        share: rows.length === 0 ? 0 : (counts.used + counts['in another report']) / rows.length,
      };
    }),
  };
}

type Reader = (study: string, arms: number) => OutcomeOfStudy;

interface Facts {
  /** Study of each arm used. */
  readonly used: readonly string[];
  readonly leftOut: readonly { readonly study: string; readonly reason: string }[];
  /** Studies with a number that can be read, whether accepted or not. */
  readonly withNumber: ReadonlySet<string>;
}

const overlaps = (reason: string): boolean => reason.startsWith('The same patients are in ');

function readerOf(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'events' | 'scores'>,
  outcome: ProtocolOutcome,
): Reader {
  const { used, leftOut, withNumber } =
    outcome.kind === 'events' ? eventFacts(review, outcome.id) : scoreFacts(review, outcome.id);
  return (study, arms) => {
    const armsUsed = used.filter((each) => each === study).length;
    const reasons = leftOut.filter((each) => each.study === study).map(({ reason }) => reason);
    const overlap = reasons.find(overlaps);
    const availability: Availability =
      armsUsed > 0
        ? 'used'
        : overlap !== undefined
          ? 'in another report'
          : reasons.length === 0
            ? 'not reported'
            : withNumber.has(study)
              ? 'reported otherwise'
              : 'without a number';
    return {
      outcome: outcome.id,
      availability,
      reason: availability === 'used' ? undefined : (overlap ?? reasons[0]),
      armsUsed,
      armsWithout: Math.max(0, arms - armsUsed),
    };
  };
}

function eventFacts(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'events'>,
  outcome: string,
): Facts {
  const { arms, leftOut } = selectEvents(review, outcome);
  const withNumber = review.events
    .filter((row) => row.outcome === outcome && typeof countOfRow(row) !== 'string')
    .map(({ study }) => study);
  return { used: arms.map(({ study }) => study), leftOut, withNumber: new Set(withNumber) };
}

function scoreFacts(
  review: Pick<Review, 'protocol' | 'studies' | 'arms' | 'scores'>,
  outcome: string,
): Facts {
  const { arms, leftOut, options } = selectScores(review, outcome);
  // A baseline says nothing of the outcome.
  const after = review.scores.filter(
    (row) => options.scales.includes(row.scale) && row.valueType !== 'baseline',
  );
  const spoken = new Set(after.map(({ study }) => study));
  const withNumber = after
    .filter((row) => isReported(row.mean) || isReported(row.median))
    .map(({ study }) => study);
  return {
    used: arms.map(({ study }) => study),
    leftOut: leftOut.filter(({ study }) => spoken.has(study)),
    withNumber: new Set(withNumber),
  };
}
