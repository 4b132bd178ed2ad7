import type { EventsOutcome } from '../extraction/protocol.ts';
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

/** A number of 100 as people read it: whole from 10 on, one decimal below, two below 0.1; a true minus sign. */
export function hundredText(value: number): string {
  const size = Math.abs(value);
  const decimals = size === 0 || size >= 9.95 ? 0 : size >= 0.095 ? 1 : 2;
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? '0' : text.replace('-', '\u2212');
}

/** "12 in 100 (8 to 17)". */
export const rateInHundred = ({ value, lower, upper }: InHundred): string =>
  `${hundredText(value)} in 100 (${hundredText(lower)} to ${hundredText(upper)})`;

/** "8 fewer in 100 (13 fewer to 2 more)". */
export function differenceInHundred({ value, lower, upper }: InHundred): string {
  const words = (each: number): string =>
    hundredText(each) === '0'
      ? 'no difference'
      : `${hundredText(Math.abs(each))} ${each < 0 ? 'fewer' : 'more'}`;
  const middle = words(value) === 'no difference' ? 'No difference in 100' : `${words(value)} in 100`;
  return `${middle} (${words(lower)} to ${words(upper)})`;
}

/** "45 %" of the weight. */
export const shareText = (share: number): string => `${(100 * share).toFixed(0)} %`;
