import { notReported } from '../reported.ts';
import { sheets } from '../sheets/sheets.ts';
import { type CellPair, type ColumnAgreement, columnAgreement } from './columnAgreement.ts';
import { type CellValue, compareCells } from './compareCells.ts';
import { type Disagreement, disagreementRanks, type Side, slipHints, wholeRow } from './disagreement.ts';
import { type ExtractedRow, type MatchedRow, matchRows, provenanceColumns, valueAt } from './matchRows.ts';
import { rankDisagreement } from './rankDisagreement.ts';
import { type ExtractedSheet, type Extraction, extractedSheets } from './readExtraction.ts';
import { swapHints } from './swapHints.ts';

export interface AgreementOptions {
  /** Coverage of the intervals of kappa, default 0.95. */
  readonly level?: number;
}

/** Two extractions held against each other. */
export interface Comparison {
  readonly kind: 'comparison';
  readonly first: Extraction;
  readonly second: Extraction;
  readonly rows: readonly MatchedRow[];
  readonly columns: readonly ColumnAgreement[];
  /** The work list: what most depends on first, then by file and line. */
  readonly disagreements: readonly Disagreement[];
  /** Rows both have. */
  readonly rowsInBoth: number;
  /** Cells compared that at least one person filled in. */
  readonly cellsCompared: number;
  readonly options: { readonly level: number; readonly columnsNotCompared: readonly string[] };
}

/**
 * Where do two extractors agree, how well, and what is left to settle?
 *
 * Rows are matched by the key columns of their sheet; every other cell is compared but those that say where and by whom
 * a row was read. Symmetric: with the two exchanged, every number stays and sides change places.
 *
 * @throws RangeError when the two worked from different protocols (other outcomes or scales), or for a level outside
 *   0.5 to 1
 * @example
 * compareExtractions(first, second).disagreements[0]
 */
export function compareExtractions(
  first: Extraction,
  second: Extraction,
  options: AgreementOptions = {},
): Comparison {
  const { level = 0.95 } = options;
  for (const key of ['outcomes', 'scales'] as const)
    if (JSON.stringify(first.protocol[key]) !== JSON.stringify(second.protocol[key]))
      throw new RangeError(
        `${first.name} and ${second.name} have different ${key} in protocol.json; two extractions of one review share one protocol`,
      );
  const rows = extractedSheets.flatMap((sheet) => matchRows(sheet, first, second));
  const disagreements = [...rows.flatMap((row) => disagreementsOf(first, row))];
  const columns = extractedSheets.flatMap((sheet) =>
    sheetColumns(
      sheet,
      rows.filter((row) => row.sheet === sheet),
      level,
    ),
  );
  const line = ({ first: one, second: two }: Disagreement): number => one.row?.line ?? two.row?.line ?? 0;
  const order = (sheet: ExtractedSheet): number => extractedSheets.indexOf(sheet);
  disagreements.sort(
    (a, b) =>
      disagreementRanks.indexOf(a.rank) - disagreementRanks.indexOf(b.rank) ||
      order(a.sheet) - order(b.sheet) ||
      line(a) - line(b),
  );
  return {
    kind: 'comparison',
    first,
    second,
    rows,
    columns,
    disagreements: swapHints(disagreements),
    rowsInBoth: rows.filter((row) => row.first !== undefined && row.second !== undefined).length,
    cellsCompared: columns.reduce((sum, each) => sum + each.rows - each.neitherReported, 0),
    options: { level, columnsNotCompared: provenanceColumns },
  };
}

/** Headings of a sheet that are compared: neither keys nor provenance. */
export function comparedColumns(sheet: ExtractedSheet): readonly string[] {
  const key: readonly string[] = sheets[sheet].key;
  return Object.keys(sheets[sheet].columns.shape).filter(
    (heading) => !key.includes(heading) && !provenanceColumns.includes(heading),
  );
}

function disagreementsOf({ protocol }: Extraction, row: MatchedRow): readonly Disagreement[] {
  const { sheet, key, first, second } = row;
  const { file } = sheets[sheet];
  const present = (first ?? second) as ExtractedRow;
  const outcomeOf = {
    outcome: valueAt(present, 'outcome'),
    scale: valueAt(present, 'scale'),
  };
  const base = (column: string) =>
    ({
      sheet,
      file,
      rowKey: key,
      column,
      rank: rankDisagreement(protocol, sheet, column, outcomeOf),
    }) as const;
  if (first === undefined || second === undefined) {
    const side = (each: ExtractedRow | undefined): Side => ({
      text: each === undefined ? 'absent' : 'present',
      value: each === undefined ? notReported : 'present',
      row: each?.values.row,
    });
    const { likelySame } = row;
    const hints =
      likelySame === undefined
        ? []
        : [`Probably the row at line ${likelySame.row.values.row.line} of the other person.`];
    return [{ ...base(wholeRow), difference: 'row', first: side(first), second: side(second), hints }];
  }
  return comparedColumns(sheet).flatMap((column): Disagreement[] => {
    const [one, two] = [valueAt(first, column), valueAt(second, column)];
    const difference = compareCells(sheet, column, one, two);
    if (difference === undefined) return [];
    const side = (each: ExtractedRow, value: CellValue): Side => ({
      text: each.text(column),
      value,
      row: each.values.row,
    });
    return [
      {
        ...base(column),
        difference,
        first: side(first, one),
        second: side(second, two),
        hints: slipHints(one, two),
      },
    ];
  });
}

function sheetColumns(
  sheet: ExtractedSheet,
  rows: readonly MatchedRow[],
  level: number,
): readonly ColumnAgreement[] {
  const both = rows.flatMap(({ first, second }) =>
    first === undefined || second === undefined ? [] : [{ first, second }],
  );
  if (both.length === 0) return [];
  const pairsOf = (column: string, some = both): readonly CellPair[] =>
    some.map(({ first, second }) => ({ first: valueAt(first, column), second: valueAt(second, column) }));
  return comparedColumns(sheet).flatMap((column) => {
    if (sheet !== 'judgements' || column !== 'judgement')
      return [columnAgreement(sheet, column, pairsOf(column), { level })];
    const instruments = [...new Set(both.map(({ first }) => String(valueAt(first, 'tool'))))];
    return instruments.map((instrument) => {
      const some = both.filter(({ first }) => valueAt(first, 'tool') === instrument);
      return columnAgreement(sheet, column, pairsOf(column, some), { level, instrument });
    });
  });
}
