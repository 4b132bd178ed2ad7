/** A whole number with a comma between thousands: `1,204`. */
export const whole = (count: number): string => count.toLocaleString('en-GB');

/**
 * A count with its noun in the right number, thousands with a comma.
 *
 * @example
 * counted(1, 'arm') // '1 arm'
 * counted(1204, 'study', 'studies') // '1,204 studies'
 */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${whole(count)} ${agreeing(count, one, many)}`;
}

/**
 * The word that agrees with a count: a verb, a pronoun or a noun that stands apart from its number.
 *
 * @example
 * `${counted(arms, 'arm')} ${agreeing(arms, 'reports', 'report')} it`
 */
export const agreeing = (count: number, one: string, many: string): string => (count === 1 ? one : many);

/** `a`, `a and b`, `a, b and c`. */
export function listed(items: readonly string[], joint: 'and' | 'or' = 'and'): string {
  if (items.length < 2) return items[0] ?? '';
  return `${items.slice(0, -1).join(', ')} ${joint} ${items.at(-1)}`;
}

/** A first letter made large. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/**
 * A number to a fixed count of decimals, with the true minus sign and no sign on what rounds to nothing.
 *
 * @example
 * signedFixed(-0.04, 1) // '0.0', where toFixed gives '-0.0'
 */
export function signedFixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '\u2212');
}
