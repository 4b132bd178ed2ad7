import { escape as escapeHtml } from 'html-escaper';
import { cellText, columnsFor, type Table } from './table.ts';

/**
 * A table as an HTML fragment: caption, scoped headings for the columns and for the first cell of each
 * row, notes below. Every text is escaped.
 *
 * @param options.id `id` given to the caption, so that a scrolling frame around it can be labelled
 * @example
 * page.innerHTML += tableToHtml(ratesBySiteTable(pools));
 */
export function tableToHtml(source: Table, options: { readonly id?: string } = {}): string {
  const columns = columnsFor(source, 'page');
  const sideOf = (align: 'left' | 'right' | undefined) => (align === 'right' ? ' class="right"' : '');
  const headings = columns
    .map((column) => `<th scope="col"${sideOf(column.align)}>${escapeHtml(column.heading)}</th>`)
    .join('');
  const rows = source.rows.map((row) => {
    const cells = columns.map((column, at) => {
      const text = escapeHtml(cellText(row[column.key]));
      const side = sideOf(column.align);
      return at === 0 ? `<th scope="row"${side}>${text}</th>` : `<td${side}>${text}</td>`;
    });
    return `<tr>${cells.join('')}</tr>`;
  });
  const id = options.id === undefined ? '' : ` id="${escapeHtml(options.id)}"`;
  const notes = source.notes.map((note) => `<p class="note">${escapeHtml(note)}</p>`).join('');
  return (
    `<table><caption${id}><span>${escapeHtml(source.caption)}</span></caption>` +
    `<thead><tr>${headings}</tr></thead><tbody>${rows.join('\n')}</tbody></table>${notes}`
  );
}
