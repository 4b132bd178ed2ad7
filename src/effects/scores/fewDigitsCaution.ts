import type { ScoreCaution } from './scoreCaution.ts';

/** Rounding that moves the spread by more than this share is worth saying. */
const worthSaying = 0.1;

/**
 * Was the figure printed with so few digits that rounding alone moves the spread noticeably?
 *
 * A standard error of 0.2 may be anything from 0.15 to 0.25. Zeros at the end of a printed number are not
 * kept by a spreadsheet, so 2.0 counts as 2: the caution can be too strict, never too lax.
 *
 * @param printed Figures that were rounded, as numbers.
 * @param size What the spread is proportional to: the standard error, or the width of the interval.
 * @returns A caution, or undefined when rounding moves the spread by 10 % at most.
 * @example
 * fewDigitsCaution([0.2], 0.2)?.code // 'few-digits'
 */
export function fewDigitsCaution(printed: readonly number[], size: number): ScoreCaution | undefined {
  // The finest of several figures tells how finely all were printed.
  const lastPlace = Math.min(...printed.map(unitInLastPlace));
  const share = (printed.length * lastPlace) / 2 / size;
  // A hair less, so that 10 % written in binary is not 10.000000000000002 %.
  if (!(size > 0) || share <= worthSaying * (1 + 1e-9)) return undefined;
  return {
    code: 'few-digits',
    message: `Printed with so few digits that rounding alone can move the standard deviation by ${Math.round(100 * share)} %.`,
  };
}

/** 0.01 for 1.25, 1 for 30. */
function unitInLastPlace(value: number): number {
  const [digits = '', exponent = '0'] = String(value).split('e');
  return 10 ** (Number(exponent) - (digits.split('.')[1]?.length ?? 0));
}
