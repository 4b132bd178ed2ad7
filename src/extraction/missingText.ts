/** Every way of writing "the paper does not say" that a sheet may use, in lower case. */
export const missingWords = [
  '',
  'nr',
  'n.r.',
  'n/r',
  'na',
  'n.a.',
  'n/a',
  '-',
  '--',
  '–',
  '—',
  '?',
  'not reported',
  'not available',
  'not applicable',
  'not stated',
  'not given',
  'missing',
] as const;

const missing: ReadonlySet<string> = new Set(missingWords);

/** Cell text without the blanks around it, no-break spaces and invisible marks included. */
export function trimCell(text: string): string {
  return text.replace(/^[\s\u00a0\u200b\ufeff]+|[\s\u00a0\u200b\ufeff]+$/g, '');
}

/**
 * Does the cell say that the paper says nothing? A typed 0 is a value and is never missing.
 *
 * @example
 * isMissingText(' N/A ') // true
 * isMissingText('0') // false
 */
export function isMissingText(text: string): boolean {
  return missing.has(
    trimCell(text)
      .toLowerCase()
      .replace(/[\s_]+/g, ' '),
  );
}
