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
 * study by study the place in the paper. A later output with the same rows points back to the first, so that a page
 * does not grow with every table.
 *
 * @returns a function that gives the fragment for one output, or nothing where it has no rows
 */
export function rowsBehindMaker(
  studyOfRow: ReadonlyMap<string, string>,
): (output: Extract<NotebookOutput, { readonly kind: 'table' | 'figure' }>) => string {
  const first = new Map<string, string>();
  return (output) => {
    const { trace, kind } = output;
    if (trace.rows.length === 0) return '';
    const ranges = rowRanges(trace.rows);
    const earlier = first.get(ranges);
    const anchor = outputAnchor(output);
    if (earlier === undefined) first.set(ranges, anchor);
    const places =
      earlier === undefined
        ? `<p>${escapeHtml(readAt(trace, studyOfRow))}</p>`
        : `<p><a href="#${earlier}">The same rows as here</a>, with the places in the papers.</p>`;
    return (
      `<details class="rows-behind"><summary>Rows behind this ${kind} (${trace.rows.length})` +
      `<span class="quiet">: ${escapeHtml(output.kind === 'table' ? output.table.caption : output.title)}</span></summary>` +
      `<p>${escapeHtml(ranges)}. <a href="trace.html">What each row feeds<span class="quiet">, from the rows behind ${escapeHtml(output.kind === 'table' ? output.table.caption : output.title)}</span></a></p>${places}</details>`
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
