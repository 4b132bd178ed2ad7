import type { ChangeReport } from '../../certainty/changes/changeReport.ts';
import type { CellChange } from '../../extraction/changes/reviewChanges.ts';
import { isReported } from '../../extraction/reported.ts';
import type { RowAddress } from '../../extraction/rowAddress.ts';
import { type Table, type TableRow, table } from '../table.ts';
import { levelText, signedCell } from './changeWords.ts';

const lines = ({ placeBefore, placeAfter }: CellChange): string =>
  placeBefore.line === placeAfter.line
    ? `line ${placeAfter.line}`
    : `line ${placeAfter.line} (before: ${placeBefore.line})`;

const located = (locator: CellChange['placeAfter']['locator']): string =>
  isReported(locator) ? locator : 'not reported';

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
    rows: cells.map((cell) => ({
      row: cell.rowName,
      heading: cell.heading,
      before: cell.before,
      now: cell.after,
      kind: cell.kind,
      place: `${cell.file}, ${lines(cell)}`,
      paper: located(cell.placeAfter.locator),
    })),
    sources: cells.map((cell): readonly RowAddress[] => [
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
  return table({
    caption: 'Rows added and removed within studies of both versions, and in other sheets',
    columns: [
      { key: 'row', heading: 'Row' },
      { key: 'what', heading: 'What happened' },
      { key: 'place', heading: 'Where' },
    ],
    rows: all.map(({ row, what }) => ({
      row: row.rowName,
      what,
      place: `${row.file}, line ${row.place.line}${what === 'added' ? '' : ' of the earlier version'}`,
    })),
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

/** Ratings whose level or domains moved; one row a domain. */
export function certaintyChangeTable({ certainty }: ChangeReport): Table {
  return table({
    caption: 'Certainty that moved, and why',
    columns: [
      { key: 'name', heading: 'Question' },
      { key: 'before', heading: 'Before', group: 'Certainty' },
      { key: 'now', heading: 'Now', group: 'Certainty' },
      { key: 'domain', heading: 'Domain', group: 'Judged otherwise' },
      { key: 'levels', heading: 'Levels', group: 'Judged otherwise' },
      { key: 'why', heading: 'Now because', group: 'Judged otherwise' },
    ],
    rows: (certainty ?? []).flatMap(({ name, before, after, domains }): readonly TableRow[] => {
      const head = { before: levelText(before), now: levelText(after) };
      if (domains.length === 0) return [{ name, ...head }];
      return domains.map((domain, at) => ({
        name: at === 0 ? name : 'The same',
        ...(at === 0 ? head : {}),
        domain: domain.domain,
        levels: `${signedCell(domain.before, 0)}, now ${signedCell(domain.after, 0)}`,
        why: domain.why,
      }));
    }),
  });
}
