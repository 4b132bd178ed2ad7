import { cohenKappa, type Kappa } from '../../numerics/cohenKappa.ts';
import { isReported } from '../reported.ts';
import { type CellValue, compareCells, comparedAs, foldText, numberIn } from './compareCells.ts';
import type { ExtractedSheet } from './readExtraction.ts';

/** Sizes of the differences among cells that differ. */
export interface DifferenceSizes {
  readonly median: number;
  readonly largest: number;
}

/** How two extractors agree in one column. */
export interface ColumnAgreement {
  readonly sheet: ExtractedSheet;
  readonly column: string;
  /** Instrument, for judgements; undefined otherwise. */
  readonly instrument: string | undefined;
  readonly kind: 'number' | 'category' | 'text';
  /** Rows both have. */
  readonly rows: number;
  readonly bothReported: number;
  readonly neitherReported: number;
  readonly onlyFirst: number;
  readonly onlySecond: number;
  /** Of those both report. */
  readonly agreeing: number;
  readonly differing: number;
  /** `agreeing` over `bothReported`; undefined where neither reports anything. */
  readonly exactRate: number | undefined;
  /** Among numbers that differ: sizes in the column's unit. */
  readonly absolute: DifferenceSizes | undefined;
  /** The same over the larger of the two, 0 to 1 where the signs agree. */
  readonly relative: DifferenceSizes | undefined;
  /** For categories both report, in alphabetical order or in that of the instrument. */
  readonly categories: readonly string[] | undefined;
  readonly counts: readonly (readonly number[])[] | undefined;
  readonly kappa: Kappa | undefined;
  /** For instruments whose answers have an order; pairs with an answer outside it are left out. */
  readonly linearKappa: Kappa | undefined;
  readonly quadraticKappa: Kappa | undefined;
}

/** Answers that have an order, worst or least first. */
const orderedAnswers: Readonly<Record<string, readonly string[]>> = {
  MINORS: ['0', '1', '2'],
  'RoB 2': ['low', 'some concerns', 'high'],
  'ROBINS-I': ['low', 'moderate', 'serious', 'critical'],
};

/** Two values of one cell. */
export interface CellPair {
  readonly first: CellValue;
  readonly second: CellValue;
}

/**
 * How far do two extractors agree in one column, over the rows both have?
 *
 * Numbers: how many match exactly, and how far apart the others are. Categories: kappa among cells both report. A value
 * against "not reported" is counted by itself, because one person found what the other did not.
 */
export function columnAgreement(
  sheet: ExtractedSheet,
  column: string,
  pairs: readonly CellPair[],
  options: { readonly level: number; readonly instrument?: string },
): ColumnAgreement {
  const both = pairs.filter(({ first, second }) => isReported(first) && isReported(second));
  const agreeing = both.filter(
    ({ first, second }) => compareCells(sheet, column, first, second) === undefined,
  ).length;
  const onlyFirst = pairs.filter(({ first, second }) => isReported(first) && !isReported(second)).length;
  const onlySecond = pairs.filter(({ first, second }) => !isReported(first) && isReported(second)).length;
  const kind = comparedAs(sheet, column);
  const differences =
    kind !== 'number'
      ? []
      : both.flatMap(({ first, second }) => {
          const [one = 0, other = 0] = [numberIn(first), numberIn(second)];
          const absolute = Math.abs(one - other);
          const size = Math.max(Math.abs(one), Math.abs(other));
          return absolute === 0 ? [] : [{ absolute, relative: absolute / size }];
        });
  const shared = {
    sheet,
    column,
    instrument: options.instrument,
    kind,
    rows: pairs.length,
    bothReported: both.length,
    neitherReported: pairs.length - both.length - onlyFirst - onlySecond,
    onlyFirst,
    onlySecond,
    agreeing,
    differing: both.length - agreeing,
    exactRate: both.length === 0 ? undefined : agreeing / both.length,
    absolute: sizes(differences.map(({ absolute }) => absolute)),
    relative: sizes(differences.map(({ relative }) => relative)),
  };
  const none = { categories: undefined, counts: undefined };
  const noKappa = { kappa: undefined, linearKappa: undefined, quadraticKappa: undefined };
  if (kind !== 'category' || both.length === 0) return { ...shared, ...none, ...noKappa };
  const words = both.map(({ first, second }) => [foldText(String(first)), foldText(String(second))] as const);
  const used = [...new Set(words.flat())].sort();
  const order = options.instrument === undefined ? undefined : orderedAnswers[options.instrument];
  const categories = order === undefined ? used : [...order, ...used.filter((word) => !order.includes(word))];
  const counts = crossTable(words, categories);
  // Categories nobody used change nothing without weights but the number of categories.
  const { level } = options;
  const inUse = crossTable(words, used);
  const ordered =
    order === undefined ? [] : words.filter((pair) => pair.every((word) => order.includes(word)));
  const weighted = (weights: 'linear' | 'quadratic'): Kappa | undefined =>
    order === undefined || ordered.length === 0
      ? undefined
      : cohenKappa(crossTable(ordered, order), { weights, level });
  return {
    ...shared,
    categories,
    counts,
    kappa: cohenKappa(inUse, { level }),
    linearKappa: weighted('linear'),
    quadraticKappa: weighted('quadratic'),
  };
}

function crossTable(
  pairs: readonly (readonly [string, string])[],
  categories: readonly string[],
): readonly (readonly number[])[] {
  const table = categories.map(() => categories.map(() => 0));
  for (const [one, other] of pairs) {
    const row = table[categories.indexOf(one)] as number[];
    row[categories.indexOf(other)] = (row[categories.indexOf(other)] ?? 0) + 1;
  }
  return table;
}

function sizes(values: readonly number[]): DifferenceSizes | undefined {
  if (values.length === 0) return undefined;
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const upper = sorted[middle] as number;
  const median = sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] as number) + upper) / 2;
  return { median, largest: sorted.at(-1) as number };
}
