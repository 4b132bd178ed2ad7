import { markQuoted } from '../../answers/printAnswer.ts';
import { answerId } from '../../answers/question.ts';
import type { AnswerTold } from '../../changes/answerTold.ts';
import type { ChangeReport } from '../../changes/changeReport.ts';
import type { CellChange } from '../../extraction/changes/reviewChanges.ts';
import { isReported } from '../../extraction/reported.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import { type Table, type TableRow, table } from '../table.ts';
import { certaintyCell, signedCell } from './changeWords.ts';

const lines = ({ placeBefore, placeAfter }: CellChange): string =>
  placeBefore.line === placeAfter.line
    ? `line ${placeAfter.line}`
    : `line ${placeAfter.line} (before: ${placeBefore.line})`;

const located = (locator: CellChange['placeAfter']['locator']): string =>
  isReported(locator) ? locator : 'not reported';

/** More cells than this with one and the same change are told once. */
const mostAlike = 6;

/** More rows of one sheet than this, all added or all removed, are told once; changes.json lists every one. */
const mostListed = 12;

/** Cells, those of one column with the same change told once where they are many. */
function condensed(
  cells: readonly CellChange[],
): readonly { readonly cell: CellChange; readonly others: number }[] {
  const alike = new Map<string, CellChange[]>();
  for (const cell of cells) {
    const key = JSON.stringify([cell.file, cell.heading, cell.before, cell.after]);
    alike.set(key, [...(alike.get(key) ?? []), cell]);
  }
  return [...alike.values()].flatMap((same) =>
    same.length > mostAlike
      ? [{ cell: same[0]!, others: same.length - 1 }]
      : same.map((cell) => ({ cell, others: 0 })),
  );
}

/** Every cell that says something else now, with its line in both versions and the page of the paper. */
export function cellsChangeTable(cells: readonly CellChange[], caption: string): Table {
  return table({
    caption,
    columns: [
      { key: 'row', heading: 'Row' },
      { key: 'heading', heading: 'Column' },
      { key: 'before', heading: 'Before' },
      { key: 'now', heading: 'Now' },
      { key: 'kind', heading: 'What happened' },
      { key: 'place', heading: 'Where' },
      { key: 'paper', heading: 'In the paper' },
    ],
    rows: condensed(cells).map(({ cell, others }) => ({
      row: others === 0 ? cell.rowName : `${cell.rowName}, and ${others} other rows`,
      heading: cell.heading,
      before: cell.before,
      now: cell.after,
      kind: cell.kind,
      place: `${cell.file}, ${lines(cell)}`,
      paper: located(cell.placeAfter.locator),
    })),
    sources: condensed(cells).map(({ cell }): readonly RowAddress[] => [
      { file: cell.file, line: cell.placeAfter.line, locator: cell.placeAfter.locator },
    ]),
  });
}

/** Rows that only one version has, within studies both have. */
export function rowsChangeTable({ changes }: ChangeReport): Table {
  const all = [
    ...changes.rowsAdded.map((row) => ({ row, what: 'added' })),
    ...changes.rowsRemoved.map((row) => ({ row, what: 'removed' })),
  ];
  const byFile = new Map<string, typeof all>();
  for (const each of all) {
    const key = `${each.what} ${each.row.file}`;
    byFile.set(key, [...(byFile.get(key) ?? []), each]);
  }
  return table({
    caption: 'Rows added and removed within studies of both versions, and in other sheets',
    columns: [
      { key: 'row', heading: 'Row' },
      { key: 'what', heading: 'What happened' },
      { key: 'place', heading: 'Where' },
    ],
    rows: [...byFile.values()].flatMap((same) => {
      const placeOf = ({ row, what }: (typeof all)[number]): string =>
        `${row.file}, line ${row.place.line}${what === 'added' ? '' : ' of the earlier version'}`;
      const [first] = same;
      return same.length > mostListed && first !== undefined
        ? [
            {
              row: `${same.length} rows of ${first.row.file}`,
              what: first.what,
              place: `from ${placeOf(first)}`,
            },
          ]
        : same.map((each) => ({ row: each.row.rowName, what: each.what, place: placeOf(each) }));
    }),
  });
}

/** Studies and arms under another name. */
export function renamedTable({ changes }: ChangeReport): Table {
  return table({
    caption: 'Studies and arms under another name',
    columns: [
      { key: 'now', heading: 'Now' },
      { key: 'before', heading: 'Before' },
      { key: 'what', heading: 'What' },
    ],
    rows: changes.renamed.map(({ before, after, what, study }) => ({
      now: what === 'arm' ? `${study}, ${after}` : after,
      before,
      what,
    })),
  });
}

/** Every key of the protocol that changed. */
export function rulesChangeTable({ changes }: ChangeReport): Table {
  const at = (line: number | undefined): string => (line === undefined ? '' : `line ${line}`);
  return table({
    caption: 'The protocol, key by key',
    columns: [
      { key: 'path', heading: 'Key' },
      { key: 'before', heading: 'Before' },
      { key: 'now', heading: 'Now' },
      { key: 'kind', heading: 'Kind' },
      { key: 'place', heading: 'Where' },
    ],
    rows: changes.rules.map((rule) => ({
      path: rule.path,
      before: rule.before ?? 'not there',
      now: rule.after ?? 'not there',
      kind: rule.kind === 'rule' ? 'rule, can move numbers' : rule.kind,
      place:
        rule.lineAfter === undefined ? `${at(rule.lineBefore)} of the earlier version` : at(rule.lineAfter),
    })),
  });
}

const quotedOf = ({ value, lower, upper }: AnswerTold) =>
  value === undefined || lower === undefined || upper === undefined ? undefined : { value, lower, upper };

/** Ratings whose level or domains moved; one row a domain. */
export function certaintyChangeTable({ certainty, answers }: ChangeReport): Table {
  const told = new Map(answers.map(({ key, after }) => [key, after]));
  return table({
    caption: 'Certainty that moved, and why',
    columns: [
      { key: 'name', heading: 'Question' },
      { key: 'level', heading: 'Certainty' },
      { key: 'domain', heading: 'Judged otherwise' },
      { key: 'why', heading: 'Now because' },
    ],
    rows: (certainty ?? []).flatMap(({ name, question, before, after, domains }): readonly TableRow[] => {
      const answer = told.get(answerId(question));
      const quoted = answer && quotedOf(answer);
      const level = certaintyCell(before, after);
      if (domains.length === 0) return [{ name, level }];
      return domains.map((domain, at) => ({
        name: at === 0 ? name : 'The same',
        level: at === 0 ? level : '',
        domain: `${domain.domain}: ${signedCell(domain.before, 0)}, now ${signedCell(domain.after, 0)}`,
        why: markQuoted({ answer: answer?.key, question, quoted }, domain.why),
      }));
    }),
    notes: [
      'Levels down (\u2212) or up (+), as decided, or as proposed by the data where nobody has decided.',
    ],
  });
}
