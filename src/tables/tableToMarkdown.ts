import { markdownTable } from 'markdown-table';
import stringWidth from 'string-width';
import { withoutAnswerMarks } from '../wording/answerMark.ts';
import { escapeMarkdown } from './escapeMarkdown.ts';
import { footnoteMarks } from './footnotes.ts';
import { cellNotes, cellText, columnsFor, fullHeading, groupedRows, type Table } from './table.ts';

/**
 * A table in GitHub-flavoured Markdown: caption in bold above, notes below, cells escaped. A heading over rows is a
 * row of its own in bold, a heading over columns goes in front of theirs, and footnote letters stand in brackets.
 *
 * @example
 * await writeFile('rates.md', tableToMarkdown(ratesBySiteTable(pools)));
 */
export function tableToMarkdown(source: Table): string {
  const columns = columnsFor(source, 'page');
  const marks = footnoteMarks(source);
  const marked = (text: string, keys: readonly string[] | undefined) => {
    const mark = marks.of(keys);
    return escapeMarkdown(mark === '' ? text : `${text} [${mark}]`.trim());
  };
  const grid = markdownTable(
    [
      columns.map((column) => marked(fullHeading(column), column.notes)),
      ...groupedRows(source).flatMap(({ group, rows }) => [
        ...(group === undefined
          ? []
          : [
              columns.map((_, at) => (at === 0 ? `**${marked(cellText(group.heading), group.notes)}**` : '')),
            ]),
        ...rows.map(({ row }) => columns.map(({ key }) => marked(cellText(row[key]), cellNotes(row[key])))),
      ]),
    ],
    { align: columns.map((column) => column.align ?? 'left'), stringLength: stringWidth },
  );
  const below = [...marks.listed.map(({ mark, text }) => `[${mark}] ${text}`), ...source.notes].map(
    withoutAnswerMarks,
  );
  const notes = below.map((note) => `\n\n${escapeMarkdown(note)}`).join('');
  return `**${escapeMarkdown(source.caption)}**\n\n${grid}${notes}`;
}
