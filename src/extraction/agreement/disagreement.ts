import { isReported } from '../reported.ts';
import type { RowAddress } from '../rowAddress.ts';
import { type CellDifference, type CellValue, numberIn } from './compareCells.ts';
import type { ExtractedSheet } from './readExtraction.ts';

/** Stands in the column of a disagreement about a row as a whole. */
export const wholeRow = '(whole row)';

/** How much depends on a disagreement, most first. */
export const disagreementRanks = [
  'a number of a protocol outcome',
  'which pool an arm is in',
  'quality of the study',
  'description',
] as const;
export type DisagreementRank = (typeof disagreementRanks)[number];

/** One side of a disagreement. */
export interface Side {
  /** The cell as typed; `present` or `absent` for a whole row. */
  readonly text: string;
  readonly value: CellValue;
  /** Undefined where this person has no such row. */
  readonly row: RowAddress | undefined;
}

/** One cell, or one row, on which two extractors differ. */
export interface Disagreement {
  readonly sheet: ExtractedSheet;
  readonly file: string;
  /** Key columns of the row, as {@link rowKey} writes them. */
  readonly rowKey: string;
  /** Heading, or {@link wholeRow}. */
  readonly column: string;
  readonly difference: CellDifference | 'row';
  readonly first: Side;
  readonly second: Side;
  readonly rank: DisagreementRank;
  /** What probably happened, as sentences; never more than a guess. */
  readonly hints: readonly string[];
}

/** Guesses from the two values alone. */
export function slipHints(first: CellValue, second: CellValue): readonly string[] {
  if (!isReported(first) || !isReported(second)) return [];
  const [one, other] = [numberIn(first), numberIn(second)];
  if (one === undefined || other === undefined || one === other) return [];
  const power = one === 0 || other === 0 ? Number.NaN : Math.log10(Math.abs(one / other));
  if (Math.abs(power) > 0.5 && Math.abs(power) < 3.5 && Math.abs(power - Math.round(power)) < 1e-9) {
    return ['The decimal point may have slipped.'];
  }
  const digits = (value: number): string => [...String(value).replace(/\D/g, '')].sort().join('');
  if (digits(one) === digits(other) && digits(one).length > 1) return ['Two digits may have changed places.'];
  return [];
}
