import type { Table } from '../../../tables/table.ts';

/** Longest line of departures under the title of a picture. */
const longestLine = 260;

/**
 * In what a picture departs from the protocol, as one line under its title, so that a picture on a slide says it too;
 * undefined where it departs in nothing.
 */
export function departuresLine(departures: readonly string[]): string | undefined {
  if (departures.length === 0) return undefined;
  let line = 'Not as the protocol has it.';
  for (const [at, sentence] of departures.entries()) {
    const longer = `${line} ${sentence}`;
    const left = departures.length - at;
    if (longer.length > longestLine && at > 0) return `${line} And ${left} more.`;
    line = longer;
  }
  return line;
}

/** The table with the departures on every row of its file, so that a row copied out of it keeps them. */
export function departuresOnRows(source: Table, departures: readonly string[]): Table {
  if (departures.length === 0) return source;
  const key = 'departures_from_protocol';
  return {
    ...source,
    columns: [...source.columns, { key, heading: key, shownIn: 'file' }],
    rows: source.rows.map((row) => ({ ...row, [key]: departures.join(' ') })),
  };
}
