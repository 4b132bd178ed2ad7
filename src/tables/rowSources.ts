import type { RowAddress } from '../extraction/rowAddress.ts';

/**
 * The lines of the sheets behind a row, in one line of text: `events.csv:12, events.csv:40; studies.csv:7`.
 *
 * Each line is named once, file by file in order of first appearance, lines in ascending order.
 */
export function sourcesText(sources: readonly RowAddress[]): string {
  const lines = new Map<string, Set<number>>();
  for (const { file, line } of sources) lines.set(file, (lines.get(file) ?? new Set()).add(line));
  return [...lines]
    .map(([file, numbers]) =>
      [...numbers]
        .sort((a, b) => a - b)
        .map((line) => `${file}:${line}`)
        .join(', '),
    )
    .join('; ');
}
