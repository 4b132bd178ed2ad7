import type { ArmEvents } from '../../extraction/armEvents.ts';
import { rowsOfArm } from '../../extraction/armEvents.ts';
import { isReported } from '../../extraction/reported.ts';
import type { Review } from '../../extraction/review.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import { clinicalCaution } from '../pageFacts.ts';

/** What every slide's notes end with. */
export function closingNotes(review: Review): readonly string[] {
  const { protocol } = review;
  return [
    `Review: ${protocol.title}. Last search: ${protocol.lastSearch}.`,
    ...(protocol.notice === undefined ? [] : [protocol.notice]),
    clinicalCaution,
  ];
}

/** Where a row stands: file, line, and the place in the paper. */
export const placeOf = ({ file, line, locator }: RowAddress): string =>
  `${file} line ${line}${isReported(locator) ? `, ${locator}` : ''}`;

/** Every count behind a number, with its row. */
export const armNotes = (heading: string, arms: readonly ArmEvents[]): readonly string[] =>
  arms.length === 0
    ? []
    : [
        `${heading}: ${arms.map((arm) => `${arm.label} ${arm.events} of ${arm.total} (${rowsOfArm(arm).map(placeOf).join('; ')})`).join('; ')}.`,
      ];

/** The reports behind arms, as the sheet gives them. */
export function referenceNotes(review: Review, arms: readonly ArmEvents[]): readonly string[] {
  const used = new Set(arms.map(({ study }) => study));
  const references = review.studies
    .filter(({ study }) => used.has(study))
    .map(({ label, reference }) =>
      isReported(reference) ? `${label}, ${reference}` : `${label} (no reference noted)`,
    );
  return references.length === 0 ? [] : [`References: ${references.join('; ')}.`];
}
