import type { RowAddress } from '../rowAddress.ts';

/** A row a result looked at and did not use. */
export interface RowLeftOut {
  readonly row: RowAddress;
  /** One sentence. */
  readonly reason: string;
}

/** Rows of the sheets behind a result, by file and line, each once. */
export interface Trace {
  readonly rows: readonly RowAddress[];
  /** Rows that are only in a list of what was left out, with the first reason given. */
  readonly leftOut: readonly RowLeftOut[];
}

/** A row's place as people write it: `events.csv:17`. */
export const rowKey = ({ file, line }: Pick<RowAddress, 'file' | 'line'>): string => `${file}:${line}`;

/** By file in the order of the alphabet, then by line. */
export const byPlace = (a: RowAddress, b: RowAddress): number =>
  a.file === b.file ? a.line - b.line : a.file < b.file ? -1 : 1;

/**
 * Which rows of the sheets stand behind this result?
 *
 * Every row address within the result is found, however deep, whatever kind of result it is: a pool, a network, a
 * table, a list of any of them. Rows that stand only under a member named `leftOut` are told apart, with their reason;
 * a row that is left out in one place and used in another counts as used.
 *
 * @param result any result; what it holds beside plain data (functions, maps, typed arrays) is passed over
 * @example
 * traceOf(poolRates(arms)).rows.map(({ file, line }) => `${file}:${line}`) // ['events.csv:2', 'events.csv:9']
 */
export function traceOf(result: unknown): Trace {
  const used = new Map<string, RowAddress>();
  const left = new Map<string, RowLeftOut>();
  // A result may hold one object in two places, once used and once left out.
  const seen = { used: new WeakSet<object>(), left: new WeakSet<object>() };
  const visit = (value: unknown, reason: string | undefined): void => {
    if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) return;
    const met = reason === undefined ? seen.used : seen.left;
    if (met.has(value)) return;
    met.add(value);
    if (Array.isArray(value)) {
      if (typeof value[0] === 'number' && typeof value.at(-1) === 'number') return;
      for (const item of value) visit(item, reason === undefined ? undefined : (reasonOf(item) ?? reason));
      return;
    }
    if (isRowAddress(value)) {
      const key = rowKey(value);
      if (reason === undefined) used.set(key, used.get(key) ?? value);
      else if (!left.has(key)) left.set(key, { row: value, reason });
      return;
    }
    for (const [name, member] of Object.entries(value)) {
      visit(member, name === 'leftOut' ? (reason ?? 'Left out.') : reason);
    }
  };
  visit(result, undefined);
  return {
    rows: [...used.values()].sort(byPlace),
    leftOut: [...left.entries()]
      .filter(([key]) => !used.has(key))
      .map(([, entry]) => entry)
      .sort((a, b) => byPlace(a.row, b.row)),
  };
}

function isRowAddress(value: object): value is RowAddress {
  const { file, line, locator } = value as Partial<RowAddress>;
  return typeof file === 'string' && typeof line === 'number' && typeof locator === 'string';
}

function reasonOf(item: unknown): string | undefined {
  const reason =
    typeof item === 'object' && item !== null ? (item as { reason?: unknown }).reason : undefined;
  return typeof reason === 'string' ? reason : undefined;
}
