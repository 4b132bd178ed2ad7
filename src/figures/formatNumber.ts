import { rateDigits, ratioDigits } from '../wording/numbers.ts';

/** Writes a number for a column: the same decimals all the way down, a true minus sign, never "-0". */
export function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '\u2212');
}

/**
 * A rate (0 to 1) as per cent without the sign: the column's decimals, and more where the rule of every other product
 * ({@link rateDigits}) gives more, so that a picture never says less than the text beside it.
 */
export function percentNumber(rate: number, decimals: number): string {
  const own = fixed(100 * rate, decimals);
  if (!(rate > 0 && rate < 1)) return own;
  const told = rateDigits(100 * rate);
  // Neither 0 nor 100 where that is only rounding.
  if (/^[<>]/.test(told)) return told;
  const places = (text: string): number => text.split('.')[1]?.length ?? 0;
  return places(told) > places(own) ? told : own;
}

/** Enough decimals to tell the rates of a picture apart: two where all lie below 2 %. */
export const percentDecimals = (largestRate: number): number => (largestRate < 0.02 ? 2 : 1);

/** A ratio by the rule of every product: 0.45, 3.20, 14.2, 560. */
export const ratioNumber = ratioDigits;

/** A coverage as per cent, such as "95 %"; the gap does not break. */
export const levelText = (level: number): string => `${Number((100 * level).toPrecision(6))}\u00a0%`;

/** "1 arm", "3 arms". */
export const countOf = (count: number, one: string, many = `${one}s`): string =>
  `${count}\u00a0${count === 1 ? one : many}`;
