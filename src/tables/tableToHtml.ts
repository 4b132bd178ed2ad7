import { escape as escapeHtml } from 'html-escaper';
import type { BesideKind } from '../wording/beside.ts';
import { footnoteMarks } from './footnotes.ts';
import { markedHtml } from './markedHtml.ts';
import { sourcesText } from './rowSources.ts';
import {
  cellNotes,
  cellText,
  columnSpans,
  columnsFor,
  groupedRows,
  markedCellText,
  type Table,
  type TableColumn,
} from './table.ts';

/**
 * A table as an HTML fragment: caption, scoped headings for the columns and for the first cell of each
 * row, notes below. Every text is escaped.
 *
 * Headings over columns and over rows are scoped to their groups; a row that names its sources carries them in
 * `data-rows`, so that a page can lead from a number to the lines of the sheets.
 *
 * @param options.id `id` given to the caption, so that a scrolling frame around it can be labelled
 * @example
 * page.innerHTML += tableToHtml(ratesBySiteTable(pools));
 */
export function tableToHtml(source: Table, options: { readonly id?: string } = {}): string {
  const columns = columnsFor(source, 'page');
  const marks = footnoteMarks(source);
  const raised = (keys: readonly string[] | undefined) => {
    const mark = marks.of(keys);
    return mark === '' ? '' : `<sup>&nbsp;${mark}</sup>`;
  };
  const grouped = source.rowGroups !== undefined;
  const bodies = groupedRows(source).map(({ group, rows }) => {
    const drawn = rows.map(({ row, at }) => {
      const cells = columns.map((column, place) => {
        const text = markedHtml(markedCellText(row[column.key])) + raised(cellNotes(row[column.key]));
        const side = sideOf(column.align) || (grouped && text.length > longText ? ' class="long"' : '');
        return place === 0
          ? `<th scope="row"${side}>${text}</th>`
          : `<td${side}${besideAttribute(column.beside)}>${text}</td>`;
      });
      const lines = sourcesText(source.sources?.[at] ?? []);
      const answer = source.answers?.[at];
      const told = answer === undefined ? '' : ` data-answer="${escapeHtml(answer)}"`;
      return `<tr${told}${besideAttribute(source.rowsBeside?.[at])}${lines === '' ? '' : ` data-rows="${escapeHtml(lines)}"`}>${cells.join('')}</tr>`;
    });
    const heading =
      group === undefined
        ? []
        : [
            `<tr class="group"><th scope="rowgroup" colspan="${columns.length}">` +
              `${escapeHtml(cellText(group.heading))}${raised(group.notes)}</th></tr>`,
          ];
    return `<tbody>${[...heading, ...drawn].join('\n')}</tbody>`;
  });
  const id = options.id === undefined ? '' : ` id="${escapeHtml(options.id)}"`;
  const footnotes = marks.listed
    .map(({ mark, text }) => `<p class="note footnote"><sup>${mark}</sup> ${markedHtml(text)}</p>`)
    .join('');
  const notes = source.notes.map((note) => `<p class="note">${markedHtml(note)}</p>`).join('');
  return (
    `<table${besideAttribute(source.beside)}><caption${id}><span>${escapeHtml(source.caption)}</span></caption>` +
    `${head(columns, raised)}${bodies.join('\n')}</table>${footnotes}${notes}`
  );
}

/** Running text in a table with headings over its rows asks for a wider column from here on. */
const longText = 50;

const besideAttribute = (beside: BesideKind | undefined): string =>
  beside === undefined ? '' : ` data-beside="${beside}"`;

const sideOf = (align: 'left' | 'right' | undefined) => (align === 'right' ? ' class="right"' : '');

/** The heading rows: one, or two where some columns share a heading. */
function head(
  columns: readonly TableColumn[],
  raised: (keys: readonly string[] | undefined) => string,
): string {
  const cell = (column: TableColumn, rows = '') =>
    `<th scope="col"${rows}${sideOf(column.align)}>${escapeHtml(column.heading)}${raised(column.notes)}</th>`;
  const spans = columnSpans(columns);
  if (spans.every(({ group }) => group === undefined))
    return `<thead><tr>${columns.map((column) => cell(column)).join('')}</tr></thead>`;
  const upper = spans.map(({ group, columns: under }) =>
    group === undefined
      ? under.map((column) => cell(column, ' rowspan="2"')).join('')
      : `<th scope="colgroup" colspan="${under.length}">${escapeHtml(cellText(group))}</th>`,
  );
  const lower = spans.flatMap(({ group, columns: under }) =>
    group === undefined ? [] : under.map((column) => cell(column)),
  );
  const groups = spans.map(({ columns: under }) => `<colgroup span="${under.length}"></colgroup>`);
  return `${groups.join('')}<thead><tr>${upper.join('')}</tr><tr>${lower.join('')}</tr></thead>`;
}
