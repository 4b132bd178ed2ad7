import { type Delimiter, delimiters } from './delimitedText.ts';

/**
 * A heading as the schemas spell it: lower case, words joined by underscores, units without brackets.
 *
 * @example
 * plainHeading(' Follow-up (months) ') // 'follow_up_months'
 */
export function plainHeading(text: string): string {
  return text
    .toLowerCase()
    .replace(/[()[\]*:]/g, ' ')
    .trim()
    .replace(/[\s\u00a0_/-]+/g, '_');
}

export interface DetectedDelimiter {
  readonly delimiter: Delimiter;
  /** Leading `sep=` line that some spreadsheets write; it must not be read as headings. */
  readonly directive: boolean;
}

/**
 * Which character separates the cells? The one that splits the heading row into the most known
 * headings; of equals, the one that splits it into the most pieces.
 */
export function detectDelimiter(text: string, known: readonly string[]): DetectedDelimiter {
  const directive = /^sep=([,;\t])\s*(\n|$)/i.exec(text);
  if (directive !== null) return { delimiter: directive[1] as Delimiter, directive: true };
  const row = text.split('\n').find((line) => line.trim() !== '' && !/^"?\s*#/.test(line)) ?? '';
  const names = new Set(known);
  let best: Delimiter = ',';
  let bestScore = -1;
  for (const delimiter of delimiters) {
    const pieces = row.split(delimiter).map((piece) => plainHeading(piece.replace(/^\s*"|"\s*$/g, '')));
    const score = pieces.filter((piece) => names.has(piece)).length * 1000 + Math.min(pieces.length, 999);
    if (score > bestScore) {
      best = delimiter;
      bestScore = score;
    }
  }
  return { delimiter: best, directive: false };
}
