import { camelCase } from '../camelCase.ts';
import type { Problem } from '../problem.ts';
import type { PlacedRow } from '../readRow.ts';
import { sheetNames, sheets } from '../sheets/sheets.ts';
import type { PlacedSheets } from './placedSheets.ts';

/** Rows that say the same thing twice. */
export function checkDuplicates(placed: PlacedSheets): readonly Problem[] {
  const problems: Problem[] = [];
  for (const name of sheetNames) {
    const { key } = sheets[name];
    const firstLine = new Map<string, number>();
    for (const row of placed[name] as readonly PlacedRow<{ readonly row: { readonly line: number } }>[]) {
      const values = row.values as unknown as Readonly<Record<string, unknown>>;
      const identity = JSON.stringify(key.map((heading) => String(values[camelCase(heading)]).toLowerCase()));
      const earlier = firstLine.get(identity);
      if (earlier === undefined) {
        firstLine.set(identity, row.values.row.line);
        continue;
      }
      const differing = key.length === 1 ? key[0] : `${key.slice(0, -1).join(', ')} or ${key.at(-1)}`;
      const cure = `It repeats line ${earlier}: delete one of the two, or correct ${differing} where they differ.`;
      problems.push(row.problem('error', key[0] as string, 'a row that is not there already', cure));
    }
  }
  return problems;
}
