import type { Consensus } from '../extraction/agreement/applyDecisions.ts';
import type { ColumnAgreement } from '../extraction/agreement/columnAgreement.ts';
import { columnInWords } from '../extraction/agreement/columnInWords.ts';
import type { Comparison } from '../extraction/agreement/compareExtractions.ts';
import { wholeRow } from '../extraction/agreement/disagreement.ts';
import { sheets } from '../extraction/sheets/sheets.ts';
import type { Kappa } from '../numerics/cohenKappa.ts';
import { agreeing, counted } from '../wording/words.ts';
import { levelHeading } from './ratesBySiteTable.ts';
import { type RowGroup, reportedCell, type Table, table } from './table.ts';

/** A column as people name it: `follow_up_months` of events.csv is "follow up months". */
const columnName = ({ column, instrument }: Pick<ColumnAgreement, 'column' | 'instrument'>): string =>
  instrument ?? columnInWords(column);

const share = (part: number, whole: number): string => `${((100 * part) / whole).toFixed(1)}%`;
const kappaText = (value: number | undefined): string =>
  value === undefined ? 'no value' : value.toFixed(2);
const limits = (kappa: Kappa): string =>
  kappa.interval === undefined
    ? ''
    : `${kappa.interval.lower.toFixed(2)} to ${kappa.interval.upper.toFixed(2)}`;

/**
 * How well do two extractors agree on categories?
 *
 * Kappa with its interval beside what explains it: raw agreement, agreement by chance, how unevenly the answers fall
 * (prevalence), how differently the two use them (bias) and the prevalence-adjusted kappa; with weights where the answers
 * of an instrument have an order. No words such as "good": two published scales of such words contradict each other.
 *
 * @example
 * kappaTable(compareExtractions(first, second))
 */
export function kappaTable(comparison: Comparison): Table {
  const used = comparison.columns.filter(({ kappa }) => kappa !== undefined);
  const cautions = new Map<string, string>();
  const rows = used.map((each) => {
    const kappa = each.kappa as Kappa;
    const weighted = each.linearKappa?.kappa;
    const squared = each.quadraticKappa?.kappa;
    const notes = kappa.cautions.map(({ code, message }) => {
      const plain = code === 'few-pairs' || code === 'one-category' ? generalCautions[code] : message;
      cautions.set(code, plain);
      return code;
    });
    return {
      column: notes.length > 0 ? { text: columnName(each), notes } : columnName(each),
      file: sheets[each.sheet].file,
      pairs: kappa.pairs,
      categories: kappa.categories,
      raw: share(each.agreeing, each.bothReported),
      chance: `${(100 * kappa.chanceAgreement).toFixed(1)}%`,
      kappa: kappaText(kappa.kappa),
      interval: limits(kappa),
      weighted: weighted === undefined ? '' : weighted.toFixed(2),
      squared: squared === undefined ? '' : squared.toFixed(2),
      prevalence: kappa.prevalence.toFixed(2),
      bias: kappa.bias.toFixed(2),
      adjusted: kappaText(kappa.prevalenceAdjusted),
      value: kappa.kappa,
      standardError: kappa.standardError,
      nullStandardError: kappa.nullStandardError,
    };
  });
  return table({
    caption: 'Agreement on categories beyond chance',
    columns: [
      { key: 'column', heading: 'Column or instrument' },
      { key: 'file', heading: 'File', shownIn: 'file' },
      { key: 'pairs', heading: 'Pairs', align: 'right' },
      { key: 'categories', heading: 'Categories used', align: 'right', shownIn: 'file' },
      { key: 'raw', heading: 'Agree', align: 'right' },
      { key: 'chance', heading: 'By chance', align: 'right' },
      { key: 'kappa', heading: 'Kappa', align: 'right' },
      { key: 'interval', heading: `${levelHeading(comparison.options.level)} interval`, align: 'right' },
      { key: 'weighted', heading: 'Linear', align: 'right' },
      { key: 'squared', heading: 'Quadratic', align: 'right' },
      { key: 'prevalence', heading: 'Prevalence', align: 'right' },
      { key: 'bias', heading: 'Bias', align: 'right' },
      { key: 'adjusted', heading: 'Adjusted', align: 'right' },
      { key: 'value', heading: 'kappa', shownIn: 'file' },
      { key: 'standardError', heading: 'kappa_standard_error', shownIn: 'file' },
      { key: 'nullStandardError', heading: 'kappa_null_standard_error', shownIn: 'file' },
    ],
    rows,
    footnotes: [...cautions].map(([key, text]) => ({ key, text })),
    notes: [
      'Pairs are cells that both filled in. Linear and quadratic: kappa with weights, where the answers have an order. Adjusted: kappa if all categories were equally frequent. Prevalence: 0 where all categories are equally frequent, 1 where one holds all answers. Bias: 0 where the two use the categories equally often.',
    ],
  });
}

const generalCautions = {
  'few-pairs': 'Fewer than 30 pairs: the large-sample interval is rough.',
  'one-category':
    'All answers of both lie in one category: chance alone would agree always, and kappa has no value.',
} as const;

/**
 * How well do two extractors agree on numbers: exact matches, and how far apart the others are. Columns on which they
 * agree throughout are counted in a note.
 */
export function differencesTable(comparison: Comparison): Table {
  const filled = comparison.columns.filter(
    ({ kind, bothReported, onlyFirst, onlySecond }) =>
      kind === 'number' && bothReported + onlyFirst + onlySecond > 0,
  );
  const used = filled.filter(
    ({ differing, onlyFirst, onlySecond }) => differing + onlyFirst + onlySecond > 0,
  );
  const cells = (columns: readonly ColumnAgreement[]): number =>
    columns.reduce((sum, { bothReported }) => sum + bothReported, 0);
  const number = (value: number | undefined): string =>
    value === undefined ? '' : String(Number(value.toPrecision(3)));
  return table({
    caption: 'Agreement on numbers',
    columns: [
      { key: 'column', heading: 'Column' },
      { key: 'file', heading: 'File' },
      { key: 'pairs', heading: 'Both give it', align: 'right' },
      { key: 'exact', heading: 'Equal', align: 'right' },
      { key: 'rate', heading: 'Share', align: 'right' },
      { key: 'median', heading: 'Median difference', align: 'right', group: 'Where they differ' },
      { key: 'largest', heading: 'Largest', align: 'right', group: 'Where they differ' },
      { key: 'relative', heading: 'Largest, relative', align: 'right', group: 'Where they differ' },
      { key: 'first', heading: 'First only', align: 'right', group: 'Found by one' },
      { key: 'second', heading: 'Second only', align: 'right', group: 'Found by one' },
    ],
    rows: used.map((each) => ({
      column: columnName(each),
      file: sheets[each.sheet].file,
      pairs: each.bothReported,
      exact: each.agreeing,
      rate: each.exactRate === undefined ? '' : share(each.agreeing, each.bothReported),
      median: number(each.absolute?.median),
      largest: number(each.absolute?.largest),
      relative: each.relative === undefined ? '' : `${(100 * each.relative.largest).toFixed(0)}%`,
      first: each.onlyFirst,
      second: each.onlySecond,
    })),
    notes: [
      `In ${filled.length - used.length} other columns of numbers, with ${cells(filled) - cells(used)} cells, the two agree throughout.`,
      'Differences are in the unit of the column, relative ones as a share of the larger of the two. A number against a blank is not a difference but found by one only.',
    ],
  });
}

/**
 * What is left to settle: every cell on which two extractors differ, what most depends on first. As CSV it is the file
 * to decide in: its last columns are blank, and it is read back as decisions.csv.
 */
export function workListTable(comparison: Comparison): Table {
  return table({
    caption: 'Work list of disagreements',
    columns: [
      { key: 'file', heading: 'File', shownIn: 'file' },
      { key: 'row', heading: 'Row', shownIn: 'file' },
      { key: 'study', heading: 'Study', shownIn: 'page' },
      { key: 'rest', heading: 'Row', shownIn: 'page' },
      { key: 'column', heading: 'Column' },
      { key: 'firstValue', heading: 'First value', shownIn: 'file' },
      { key: 'secondValue', heading: 'Second value', shownIn: 'file' },
      { key: 'firstLine', heading: 'First line', shownIn: 'file' },
      { key: 'secondLine', heading: 'Second line', shownIn: 'file' },
      { key: 'firstLocator', heading: 'First locator', shownIn: 'file' },
      { key: 'secondLocator', heading: 'Second locator', shownIn: 'file' },
      { key: 'first', heading: 'First', shownIn: 'page' },
      { key: 'second', heading: 'Second', shownIn: 'page' },
      { key: 'lines', heading: 'Lines', shownIn: 'page' },
      { key: 'read', heading: 'Read from', shownIn: 'page' },
      { key: 'difference', heading: 'Difference', shownIn: 'file' },
      { key: 'hint', heading: 'Hint' },
      { key: 'takenFrom', heading: 'Taken from', shownIn: 'file' },
      { key: 'decidedValue', heading: 'Decided value', shownIn: 'file' },
      { key: 'decidedBy', heading: 'Decided by', shownIn: 'file' },
      { key: 'date', heading: 'Date', shownIn: 'file' },
      { key: 'reason', heading: 'Reason', shownIn: 'file' },
    ],
    rows: comparison.disagreements.map(({ file, rowKey, column, first, second, difference, hints }) => ({
      file,
      row: rowKey,
      ...keyOnPage(rowKey),
      column,
      firstValue: first.text,
      secondValue: second.text,
      first: first.text === '' ? 'blank' : first.text,
      second: second.text === '' ? 'blank' : second.text,
      lines: `${first.row?.line ?? '–'},\u00a0${second.row?.line ?? '–'}`,
      read: [
        ...new Set(
          [first, second].flatMap(({ row }) =>
            row === undefined ? [] : [String(reportedCell(row.locator))],
          ),
        ),
      ].join('; '),
      firstLine: first.row?.line,
      secondLine: second.row?.line,
      firstLocator: first.row === undefined ? undefined : reportedCell(first.row.locator),
      secondLocator: second.row === undefined ? undefined : reportedCell(second.row.locator),
      difference: column === wholeRow ? 'row' : difference,
      hint: hints.join(' '),
    })),
    rowGroups: runsOf(
      comparison.disagreements.map(
        ({ file, rank }) => `${rank.charAt(0).toUpperCase()}${rank.slice(1)}: ${file}`,
      ),
    ),
    notes: ['Lines are those of the file in the folder of the first and of the second person.'],
  });
}

/** Who decided what, when and why. */
export function decisionsTable(consensus: Consensus): Table {
  return table({
    caption: 'Decisions',
    columns: [
      { key: 'file', heading: 'File', shownIn: 'file' },
      { key: 'row', heading: 'Row', shownIn: 'file' },
      { key: 'study', heading: 'Study', shownIn: 'page' },
      { key: 'rest', heading: 'Row', shownIn: 'page' },
      { key: 'column', heading: 'Column' },
      { key: 'first', heading: 'First' },
      { key: 'second', heading: 'Second' },
      { key: 'decided', heading: 'Decided' },
      { key: 'from', heading: 'Taken from' },
      { key: 'by', heading: 'By' },
      { key: 'date', heading: 'Date' },
      { key: 'reason', heading: 'Reason' },
    ],
    rows: consensus.decided.map(({ disagreement, takenFrom, decidedText, decidedBy, date, reason }) => ({
      file: disagreement.file,
      row: disagreement.rowKey,
      ...keyOnPage(disagreement.rowKey),
      column: disagreement.column,
      first: disagreement.first.text,
      second: disagreement.second.text,
      decided: decidedText,
      from: takenFrom,
      by: decidedBy,
      date,
      reason,
    })),
    rowGroups: runsOf(consensus.decided.map(({ disagreement }) => disagreement.file)),
  });
}

/** The key of a row in two columns: its study, and the rest. */
function keyOnPage(rowKey: string): { readonly study: string; readonly rest: string } {
  const [study = '', ...rest] = rowKey.split(' | ');
  return { study, rest: rest.join(', ') };
}

/** Headings over runs of rows that have the same one. */
function runsOf(headings: readonly string[]): RowGroup[] {
  const groups: { heading: string; rows: number }[] = [];
  for (const heading of headings) {
    const last = groups.at(-1);
    if (last?.heading === heading) last.rows += 1;
    else groups.push({ heading, rows: 1 });
  }
  return groups;
}

/** The agreement in sentences, by what the numbers are. */
export function agreementReading(comparison: Comparison): readonly string[] {
  const { columns, disagreements, cellsCompared, rowsInBoth } = comparison;
  const differing = columns.reduce((sum, each) => sum + each.differing, 0);
  const alone = columns.reduce((sum, each) => sum + each.onlyFirst + each.onlySecond, 0);
  const rows = disagreements.filter(({ column }) => column === wholeRow).length;
  const first = disagreements.filter(({ rank }) => rank === 'a number of a protocol outcome').length;
  const numbers = columns.filter(({ kind }) => kind === 'number');
  const both = numbers.reduce((sum, each) => sum + each.bothReported, 0);
  const equal = numbers.reduce((sum, each) => sum + each.agreeing, 0);
  if (cellsCompared === 0)
    return ['The two have no cell in common, so that nothing can be said about their agreement.'];
  return [
    `${rowsInBoth} rows are in both folders; of ${cellsCompared} cells that at least one person filled in, ${differing} differ and ${alone} were found by one person only.`,
    ...(both === 0 ? [] : [`Of ${both} numbers that both give, ${equal} are equal (${share(equal, both)}).`]),
    rows === 0
      ? 'No row is missing from either folder.'
      : `${counted(rows, 'row')} ${agreeing(rows, 'is', 'are')} in one folder only.`,
    disagreements.length === 0
      ? 'Nothing is left to settle.'
      : `${disagreements.length} disagreements are to be settled, of which ${first} touch a number of an outcome of the protocol.`,
  ];
}
