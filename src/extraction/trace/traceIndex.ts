import type { Review } from '../review.ts';
import { type ReviewRow, reviewRows } from './reviewRows.ts';
import { rowKey, type Trace } from './traceOf.ts';

/** Something on a page that rows stand behind. */
export interface TracedOutput {
  readonly page: string;
  readonly kind: 'table' | 'figure' | 'result' | 'text';
  readonly name: string;
  readonly title: string;
  /** Where it stands, from the folder of the pages. */
  readonly href: string;
}

/** One sheet row, and what became of it. */
export interface TracedRow extends ReviewRow {
  /** Positions in {@link TraceIndex.outputs}: outputs computed from this row. */
  readonly feeds: readonly number[];
  /** For a row of studies.csv or arms.csv: outputs fed by the counts and scores of that study or arm. */
  readonly stands: readonly number[];
  /** Where the row was looked at and not used, each reason once. */
  readonly leftOut: readonly { readonly reason: string; readonly pages: readonly string[] }[];
  /** For a row that feeds nothing and stands behind nothing: why. */
  readonly idle: string | undefined;
}

/** Both ways at once: from every row to the outputs it feeds, from every output to its rows. */
export interface TraceIndex {
  readonly kind: 'trace-index';
  readonly outputs: readonly TracedOutput[];
  readonly rows: readonly TracedRow[];
}

/**
 * Which outputs does each row of the sheets feed, and why does a row feed none?
 *
 * @param outputs every output of a run with the rows behind it
 * @example
 * traceIndex(review, outputs).rows.filter(({ idle }) => idle !== undefined)
 */
export function traceIndex(
  review: Review,
  outputs: readonly (TracedOutput & { readonly trace: Trace })[],
): TraceIndex {
  const feeds = new Map<string, number[]>();
  const leftOut = new Map<string, Map<string, Set<string>>>();
  outputs.forEach(({ page, trace }, at) => {
    for (const row of trace.rows) {
      const fed = feeds.get(rowKey(row));
      if (fed === undefined) feeds.set(rowKey(row), [at]);
      else fed.push(at);
    }
    for (const { row, reason } of trace.leftOut) {
      const reasons = leftOut.get(rowKey(row)) ?? new Map<string, Set<string>>();
      reasons.set(reason, (reasons.get(reason) ?? new Set()).add(page));
      leftOut.set(rowKey(row), reasons);
    }
  });
  const rows = reviewRows(review);
  const fedBy = (row: ReviewRow): readonly number[] => feeds.get(rowKey(row.row)) ?? [];
  // A count is read together with what arms.csv and studies.csv say of its arm and study.
  const behind = new Map<string, Set<number>>();
  const files = new Set<string>();
  const outcomes = new Set<string>();
  for (const row of rows) {
    const fed = fedBy(row);
    if (fed.length === 0) continue;
    files.add(row.row.file);
    if (row.outcome !== undefined) outcomes.add(`${row.sheet} ${row.outcome}`);
    if (row.study === undefined || row.arm === undefined || row.sheet === 'arms') continue;
    for (const key of [`studies ${row.study}`, `arms ${row.study} ${row.arm}`]) {
      const set = behind.get(key) ?? new Set<number>();
      for (const at of fed) set.add(at);
      behind.set(key, set);
    }
  }
  return {
    kind: 'trace-index',
    outputs: outputs.map(({ page, kind, name, title, href }) => ({ page, kind, name, title, href })),
    rows: rows.map((row): TracedRow => {
      const fed = fedBy(row);
      const key = row.sheet === 'studies' ? `studies ${row.study}` : `arms ${row.study} ${row.arm}`;
      const stands =
        row.sheet === 'studies' || row.sheet === 'arms'
          ? [...(behind.get(key) ?? [])].filter((at) => !fed.includes(at)).sort((a, b) => a - b)
          : [];
      const left = [...(leftOut.get(rowKey(row.row)) ?? [])].map(([reason, pages]) => ({
        reason,
        pages: [...pages],
      }));
      const idle =
        fed.length > 0 || stands.length > 0 ? undefined : whyIdle(row, left[0]?.reason, files, outcomes);
      return { ...row, feeds: fed, stands, leftOut: left, idle };
    }),
  };
}

function whyIdle(
  row: ReviewRow,
  leftOut: string | undefined,
  files: ReadonlySet<string>,
  outcomes: ReadonlySet<string>,
): string {
  if (leftOut !== undefined) return `Left out: ${leftOut}`;
  if (row.sheet === 'studies' || row.sheet === 'arms') {
    return `No count or score of this ${row.sheet === 'arms' ? 'arm' : 'study'} feeds an output of this run.`;
  }
  if (!files.has(row.row.file)) return `No output of this run names rows of ${row.row.file}.`;
  if (row.outcome !== undefined && !outcomes.has(`${row.sheet} ${row.outcome}`)) {
    return `No page of this run reads "${row.outcome}".`;
  }
  return 'No output of this run uses this row.';
}
