import type { Interval } from '../../numerics/interval.ts';
import { whole } from '../../wording/words.ts';
import { percentDigits } from '../rateText.ts';

/** A share of a count as whole per cent, always printed beside the count: `612 of 711 (86%)`. */
export function shareOf(part: number, all: number): string {
  const share = (100 * part) / all;
  const digits =
    share > 0 && share < 0.5 ? 'below 1' : share > 99.5 && share < 100 ? 'above 99' : share.toFixed(0);
  return all === 0 ? `${whole(part)} of 0` : `${whole(part)} of ${whole(all)} (${digits}%)`;
}

/** A rate: `5.1%`. */
export const percent = (rate: number): string => `${percentDigits(rate)}%`;

/** `95% confidence interval`. */
export const levelPercent = (level: number): string => `${Number((100 * level).toPrecision(10))}%`;

/** `3.0% to 8.4%`. */
export const percentRange = ({ lower, upper }: Interval): string => `${percent(lower)} to ${percent(upper)}`;

/** A first letter made small, unless the word is an abbreviation. */
export const small = (text: string): string =>
  /^\p{Lu}\p{Ll}/u.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;

/** Text typed by a person, held to one line and without a full stop at its end, so that it can stand in a sentence. */
export const typed = (text: string): string =>
  text
    .replace(/[\p{Cc}\p{Cf}\s]+/gu, ' ')
    .trim()
    .replace(/\.+$/, '');

/** p as printed beside its statistic: `p = 0.034`, `p < 0.001`. */
export const pValue = (p: number): string =>
  p < 0.001 ? 'p < 0.001' : p > 0.99 ? 'p > 0.99' : `p = ${p.toFixed(p < 0.1 ? 3 : 2)}`;

/** `95% CI`; the methods section says what the letters stand for. */
export const confidence = (level: number): string => `${levelPercent(level)} CI`;

/** Is a method a posterior, so that its interval is a credible one? */
export const isPosterior = (method: string | undefined): boolean => method?.includes('-posterior-') === true;

/** `95% CI`, or `95% CrI` of a posterior. */
export const quotedInterval = (level: number, method: string | undefined): string =>
  isPosterior(method) ? `${levelPercent(level)} CrI` : confidence(level);

/** `95% PI`. */
export const predicted = (level: number): string => `${levelPercent(level)} PI`;

/** A number with as many digits as it deserves: three figures, no exponent, never a rounded zero. */
export function figure(value: number): string {
  const size = Math.abs(value);
  const sign = value < 0 ? '\u2212' : '';
  if (size === 0) return '0';
  if (size < 0.001) return `${value < 0 ? 'above \u2212' : 'below '}0.001`;
  return (
    sign +
    (size >= 100 ? size.toFixed(0) : size >= 10 ? size.toFixed(1) : size.toFixed(2 + (size < 0.1 ? 1 : 0)))
  );
}

/** The month and day of a date typed as 2026-06-30: `30 June 2026`; shorter dates lose what they lack. */
export function dateWords(date: string): string {
  const [year = '', month, day] = date.split('-');
  const names = 'January February March April May June July August September October November December'.split(
    ' ',
  );
  const name = month === undefined ? undefined : names[Number(month) - 1];
  return [day === undefined ? undefined : String(Number(day)), name, year].filter(Boolean).join(' ');
}
