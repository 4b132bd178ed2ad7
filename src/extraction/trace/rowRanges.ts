import { isReported } from '../reported.ts';
import type { RowAddress } from '../rowAddress.ts';
import { byPlace, rowKey } from './traceOf.ts';

/** Line numbers of one file as text: `4, 7–9`. Two neighbours stay apart, three become a range. */
export function lineRanges(lines: readonly number[]): string {
  const sorted = [...new Set(lines)].sort((a, b) => a - b);
  const parts: string[] = [];
  for (let at = 0; at < sorted.length; ) {
    let end = at;
    while (sorted[end + 1] === sorted[end]! + 1) end += 1;
    const [first, last] = [sorted[at]!, sorted[end]!];
    if (end - at >= 2) parts.push(`${first}–${last}`);
    else for (let line = first; line <= last; line += 1) parts.push(String(line));
    at = end + 1;
  }
  return parts.join(', ');
}

/** Rows of one file. */
export interface FileLines {
  readonly file: string;
  readonly lines: readonly number[];
}

/** Rows by file, each line once, in order. */
export function linesByFile(rows: readonly RowAddress[]): readonly FileLines[] {
  const files = new Map<string, Set<number>>();
  for (const { file, line } of [...rows].sort(byPlace)) {
    files.set(file, (files.get(file) ?? new Set()).add(line));
  }
  return [...files].map(([file, lines]) => ({ file, lines: [...lines] }));
}

/**
 * Where the rows stand, short enough for a line under a table.
 *
 * @example
 * rowRanges(rows) // 'events.csv lines 4, 7–9; studies.csv line 2'
 */
export function rowRanges(rows: readonly RowAddress[]): string {
  return linesByFile(rows)
    .map(({ file, lines }) => `${file} ${lines.length === 1 ? 'line' : 'lines'} ${lineRanges(lines)}`)
    .join('; ');
}

/**
 * The places of the papers the rows were read from, each with its lines: `table 2 (lines 4, 7–9)`; a line without one
 * says so.
 */
export function locatorRanges(rows: readonly RowAddress[]): string {
  const places = new Map<string, Map<string, RowAddress>>();
  for (const row of [...rows].sort(byPlace)) {
    const place = isReported(row.locator) ? row.locator : 'place not noted';
    places.set(place, (places.get(place) ?? new Map()).set(rowKey(row), row));
  }
  return [...places].map(([place, found]) => `${place} (${rowRanges([...found.values()])})`).join('; ');
}
