/**
 * The name code uses for a heading.
 *
 * @example
 * camelCase('follow_up_months') // 'followUpMonths'
 */
export function camelCase(heading: string): string {
  return heading.replace(/_([a-z0-9])/g, (_match, letter: string) => letter.toUpperCase());
}
