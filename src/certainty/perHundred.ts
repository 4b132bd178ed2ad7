import type { EventsOutcome } from '../extraction/protocol.ts';
import { rateDigits, sizeDigits } from '../wording/numbers.ts';
import type { InHundred } from './bodyOfEvidence.ts';

/** Differences in 100 that matter, from the protocol; the two larger ones are ours where it has none. */
export interface HundredThresholds {
  readonly material: number;
  readonly moderate: number;
  readonly large: number;
  /** Whether the protocol itself names the two larger ones. */
  readonly declared: boolean;
  readonly source: string;
}

/** Thresholds of an outcome; without declared ones twice and four times the smallest difference that matters. */
export function thresholdsOf(outcome: EventsOutcome): HundredThresholds {
  const { materialDifference, moderateDifference, largeDifference, source } = outcome.thresholdsPer100;
  const moderate = Math.max(materialDifference, moderateDifference ?? 2 * materialDifference);
  return {
    material: materialDifference,
    moderate,
    large: Math.max(moderate, largeDifference ?? 4 * materialDifference),
    declared: moderateDifference !== undefined && largeDifference !== undefined,
    source,
  };
}

/** A size in 100 by the rule of every product, with a true minus sign. */
export const hundredText = (value: number): string =>
  `${value < 0 && sizeDigits(value) !== '0' ? '\u2212' : ''}${sizeDigits(value)}`;

const rate = (value: number): string => rateDigits(Math.min(100, Math.max(0, value)));

/** "12 in 100 (8.1 to 17)". */
export const rateInHundred = ({ value, lower, upper }: InHundred): string =>
  `${rate(value)} in 100 (${rate(lower)} to ${rate(upper)})`;

/** "8.4 fewer in 100 (13 fewer to 2.1 more)". */
export function differenceInHundred({ value, lower, upper }: InHundred): string {
  const words = (each: number): string =>
    each === 0 ? 'no difference' : `${sizeDigits(each)} ${each < 0 ? 'fewer' : 'more'}`;
  const middle = value === 0 ? 'No difference in 100' : `${words(value)} in 100`;
  return `${middle} (${words(lower)} to ${words(upper)})`;
}

/** "45 %" of the weight. */
export const shareText = (share: number): string => `${(100 * share).toFixed(0)} %`;
