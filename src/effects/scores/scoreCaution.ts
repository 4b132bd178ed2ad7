/** Everything a converted or harmonised score may warn of. Impossible input throws; awkward input gives one of these. */
export const scoreCautionCodes = [
  'converted-although-skewed',
  'skewness-not-tested',
  'near-the-end-of-the-scale',
  'at-the-end-of-the-scale',
  'standard-deviation-from-range',
  'older-rule',
  'no-spread',
  'threshold-used-as-p-value',
  'common-spread-assumed',
  'normal-quantile-in-small-sample',
  'few-digits',
  'assumed-correlation',
  'low-correlation',
  'rescaled',
  'reversed',
  'minimum-often-misquoted',
  'range-taken-from-unit',
] as const;
export type ScoreCautionCode = (typeof scoreCautionCodes)[number];

/** A typed warning with a sentence a reader can act on. */
export interface ScoreCaution {
  readonly code: ScoreCautionCode;
  readonly message: string;
}
