import { seededUniform } from '../../src/numerics/seededUniform.ts';

/** A cell may hold line feeds: a row ends where every quotation mark is closed. */
function rowsOf(text: string): string[] {
  const rows: string[] = [];
  for (const line of text.trimEnd().split('\n')) {
    const open = rows.length > 0 && rows.at(-1)!.split('"').length % 2 === 0;
    if (open) rows.push(`${rows.pop()}\n${line}`);
    else rows.push(line);
  }
  return rows;
}

/** The demonstration with the rows of every sheet in another order. */
export function shuffled(files: Readonly<Record<string, string>>, seed: number): Record<string, string> {
  const next = seededUniform(seed);
  return Object.fromEntries(
    Object.entries(files).map(([name, text]) => {
      if (!name.endsWith('.csv')) return [name, text];
      const [head, ...rows] = rowsOf(text);
      for (let last = rows.length - 1; last > 0; last--) {
        const other = Math.floor(next() * (last + 1));
        [rows[last], rows[other]] = [rows[other]!, rows[last]!];
      }
      return [name, `${[head!, ...rows].join('\n')}\n`];
    }),
  );
}

/**
 * What says where a row stands, and what a network keeps of the order of a study's arms: contrasts with the arm met first,
 * the same model whichever that is.
 */
const placeKeys = new Set([
  ...['rows', 'row', 'provenance', 'review', 'sources', 'code', 'html', 'merged'],
  ...['solution', 'values', 'covariance'],
]);

/** Every number and every text of a result by the keys that lead to it, whatever the order of lists and of names in a list. */
export function leaves(value: unknown, path = '', found = new Map<string, (number | string)[]>()) {
  if (Array.isArray(value)) for (const each of value) leaves(each, path, found);
  else if (typeof value === 'object' && value !== null) {
    for (const [key, each] of Object.entries(value))
      if (!placeKeys.has(key)) leaves(each, `${path}.${key}`, found);
  } else {
    const leaf =
      typeof value === 'number'
        ? value
        : String(value)
            .replace(/\(line \d+\)/g, '')
            .split(/[\s,;.:|]+/)
            .sort()
            .join(' ');
    found.set(path, [...(found.get(path) ?? []), leaf]);
  }
  return found;
}

const inOrder = (found: readonly (number | string)[]): (number | string)[] =>
  [...found].sort((a, b) =>
    typeof a === 'number' && typeof b === 'number' ? a - b : String(a) < String(b) ? -1 : 1,
  );

/** Values that differ by more than the rounding of sums taken in another order. */
export function differences(given: unknown, other: unknown): string[] {
  const [one, two] = [leaves(given), leaves(other)];
  return [...new Set([...one.keys(), ...two.keys()])].flatMap((path) => {
    const [a, b] = [inOrder(one.get(path) ?? []), inOrder(two.get(path) ?? [])];
    if (a.length !== b.length) return [`${path}: ${a.length} and ${b.length} values`];
    return a.flatMap((value, i) => {
      const same =
        typeof value === 'number' && typeof b[i] === 'number'
          ? Math.abs(value - b[i]) <= 1e-6 * Math.max(1e-3, Math.abs(value))
          : value === b[i];
      return same ? [] : [`${path}: ${value} and ${b[i]}`];
    });
  });
}
