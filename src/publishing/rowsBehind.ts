import { escape as escapeHtml } from 'html-escaper';
import { isReported } from '../extraction/reported.ts';
import type { RowAddress } from '../extraction/rowAddress.ts';
import { lineRanges, rowRanges } from '../extraction/trace/rowRanges.ts';
import { rowKey, type Trace } from '../extraction/trace/traceOf.ts';
import type { NotebookOutput } from './notebookRun.ts';

/** The anchor of a table or figure on its page. */
export const outputAnchor = (output: Extract<NotebookOutput, { readonly name: string }>): string =>
  `${output.kind}-${output.name}`;

/**
 * Lists under each table and figure of a page the sheet rows it was computed from, folded away: file and lines, and
 * study by study the place in the paper. Rows whose places stand under an earlier output point back to it, so that a
 * page does not grow with every table.
 *
 * @returns a function that gives the fragment for one output, or nothing where it has no rows
 */
export function rowsBehindMaker(
  studyOfRow: ReadonlyMap<string, string>,
): (output: Extract<NotebookOutput, { readonly kind: 'table' | 'figure' }>) => string {
  const told: { readonly anchor: string; readonly rows: ReadonlySet<string> }[] = [];
  return (output) => {
    const { trace, kind } = output;
    if (trace.rows.length === 0) return '';
    const keys = trace.rows.map(rowKey);
    const earlier = told.find(({ rows }) => keys.every((key) => rows.has(key)));
    if (earlier === undefined) told.push({ anchor: outputAnchor(output), rows: new Set(keys) });
    const title = escapeHtml(output.kind === 'table' ? output.table.caption : output.title);
    const unseen = (text: string): string => `<span class="quiet">${text} ${title}</span>`;
    const places =
      earlier === undefined
        ? `<p>${escapeHtml(readAt(trace, studyOfRow))}</p>`
        : `<p>The places in the papers stand with <a href="#${earlier.anchor}">the rows told before</a>.</p>`;
    return (
      `<details class="rows-behind"><summary>Rows behind this ${kind} (${trace.rows.length})${unseen(':')}</summary>` +
      `<p>${escapeHtml(rowRanges(trace.rows))}. <a href="trace.html">What each row feeds${unseen(', from the rows behind')}</a></p>${places}</details>`
    );
  };
}

/** `Norholt 2009: table 2 (4, 5), table 3 (6); Brennik 2011: page not noted (9).` Numbers are lines of the sheet. */
function readAt({ rows }: Trace, studyOfRow: ReadonlyMap<string, string>): string {
  const studies = new Map<string, Map<string, RowAddress[]>>();
  for (const row of rows) {
    const study = studyOfRow.get(rowKey(row)) ?? row.file;
    const places = studies.get(study) ?? new Map<string, RowAddress[]>();
    const place = isReported(row.locator) ? row.locator : 'place not noted';
    places.set(place, [...(places.get(place) ?? []), row]);
    studies.set(study, places);
  }
  const lines = [...studies].map(
    ([study, places]) =>
      `${study}: ${[...places].map(([place, found]) => `${place} (${lineRanges(found.map(({ line }) => line))})`).join(', ')}`,
  );
  return `Place in the paper, and line: ${lines.join('; ')}.`;
}
