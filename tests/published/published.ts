/**
 * Worked examples from the literature, one JSON file each beside this one: the data, what the page prints
 * (as the strings printed), and the same quantities recomputed by routes that share no code with this project.
 */
import { readdirSync, readFileSync } from 'node:fs';

/** How a printed value came to be known. The last kind is no independent check and is not counted as one. */
export type Seen = 'page' | 'from memory' | 'from memory, put down after recomputing';

export interface PrintedValue {
  readonly quantity: string;
  readonly method: string;
  /** Exactly as printed, so that the tolerance can be read off it. */
  readonly printed: string | readonly string[];
  readonly seen: Seen;
  /** Absolute tolerance where half a unit in the last place is too tight, and why. */
  readonly within?: number;
  readonly because?: string;
  readonly note?: string;
}

export interface RecomputedValue {
  readonly quantity: string;
  readonly method: string;
  readonly value: number | readonly number[];
}

export type PublishedRow = Readonly<Record<string, string | number>>;

export interface PublishedExample {
  readonly id: string;
  readonly title: string;
  readonly citation: string;
  /**
   * A: data and results both seen on a page and reproduced. A-: one of the two seen, or recalled with many
   * independent digits reproduced. B: recalled with a few digits reproduced. C: a check of a formula only.
   */
  readonly trust: 'A' | 'A-' | 'B+' | 'B' | 'C';
  readonly whereSeen: string;
  readonly notes?: readonly string[];
  readonly rows: readonly PublishedRow[];
  readonly formulaInputs?: readonly PublishedRow[];
  readonly printed: readonly PrintedValue[];
  /** Independent recomputations, grouped by what computed them; 14 significant digits unless it says less. */
  readonly recomputed: readonly {
    readonly computedWith: string;
    readonly values: readonly RecomputedValue[];
  }[];
}

/** Ids of all examples carried here. */
export function publishedIds(): string[] {
  return readdirSync(new URL('.', import.meta.url))
    .filter((name) => name.endsWith('.json'))
    .map((name) => name.slice(0, -'.json'.length))
    .sort();
}

/** Read one example. */
export function published(id: string): PublishedExample {
  return JSON.parse(readFileSync(new URL(`./${id}.json`, import.meta.url), 'utf8')) as PublishedExample;
}

/** The one printed value of this quantity (and method, where several share the quantity). */
export function printedValue(example: PublishedExample, quantity: string, method?: string): PrintedValue {
  return theOne(example.printed, example.id, quantity, method);
}

/** The one recomputed number of this quantity and method. */
export function recomputedNumber(example: PublishedExample, quantity: string, method?: string): number {
  const { value } = recomputedValue(example, quantity, method);
  if (typeof value !== 'number') throw new Error(`${example.id}: "${quantity}" is a list`);
  return value;
}

/** The one recomputed list of this quantity and method. */
export function recomputedList(
  example: PublishedExample,
  quantity: string,
  method?: string,
): readonly number[] {
  const { value } = recomputedValue(example, quantity, method);
  if (typeof value === 'number') throw new Error(`${example.id}: "${quantity}" is one number`);
  return value;
}

function recomputedValue(example: PublishedExample, quantity: string, method?: string): RecomputedValue {
  const values = example.recomputed.flatMap((group) => group.values);
  return theOne(values, example.id, quantity, method);
}

/** A number from a row, by column; a missing or textual cell is an error of the test. */
export function numberIn(row: PublishedRow, column: string): number {
  const value = row[column];
  if (typeof value !== 'number') throw new Error(`no number in column "${column}": ${JSON.stringify(row)}`);
  return value;
}

function theOne<T extends { readonly quantity: string; readonly method: string }>(
  values: readonly T[],
  id: string,
  quantity: string,
  method: string | undefined,
): T {
  const found = values.filter(
    (v) => v.quantity === quantity && (method === undefined || v.method === method),
  );
  const [first] = found;
  if (first === undefined || found.length > 1)
    throw new Error(
      `${id}: ${found.length} values for "${quantity}"${method === undefined ? '' : ` by "${method}"`}; it has ${values.map((v) => `"${v.quantity}" by "${v.method}"`).join(', ')}`,
    );
  return first;
}
