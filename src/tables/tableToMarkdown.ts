import { markdownTable } from 'markdown-table';
import stringWidth from 'string-width';
import { escapeMarkdown } from './escapeMarkdown.ts';
import { cellText, columnsFor, type Table } from './table.ts';

/**
 * A table in GitHub-flavoured Markdown: caption in bold above, notes below, cells escaped.
 *
 * @example
 * await writeFile('rates.md', tableToMarkdown(ratesBySiteTable(pools)));
 */
export function tableToMarkdown(source: Table): string {
  const columns = columnsFor(source, 'page');
  const grid = markdownTable(
    [
      columns.map((column) => escapeMarkdown(column.heading)),
      ...source.rows.map((row) => columns.map((column) => escapeMarkdown(cellText(row[column.key])))),
    ],
    { align: columns.map((column) => column.align ?? 'left'), stringLength: stringWidth },
  );
  const notes = source.notes.map((note) => `\n\n${escapeMarkdown(note)}`).join('');
  return `**${escapeMarkdown(source.caption)}**\n\n${grid}${notes}`;
}
