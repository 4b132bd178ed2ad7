import stringWidth from 'string-width';
import { withoutAnswerMarks } from '../wording/answerMark.ts';
import { footnoteMarks } from './footnotes.ts';
import { cellNotes, cellText, columnsFor, fullHeading, groupedRows, type Table } from './table.ts';

/**
 * A table for the console: columns padded to the width a terminal gives each character. A heading over rows is a line
 * of its own, a heading over columns goes in front of theirs, and footnote letters stand in brackets.
 *
 * @example
 * console.log(tableToText(ratesBySiteTable(pools)));
 */
export function tableToText(source: Table): string {
  const columns = columnsFor(source, 'page');
  const marks = footnoteMarks(source);
  const marked = (text: string, keys: readonly string[] | undefined) => {
    const mark = marks.of(keys);
    return mark === '' ? text : `${text} [${mark}]`.trim();
  };
  const headings = columns.map((column) => marked(fullHeading(column), column.notes));
  const lines = groupedRows(source).flatMap(({ group, rows }) => [
    ...(group === undefined ? [] : [marked(cellText(group.heading), group.notes)]),
    ...rows.map(({ row }) => columns.map(({ key }) => marked(cellText(row[key]), cellNotes(row[key])))),
  ]);
  const cells = [headings, ...lines.filter((line) => typeof line !== 'string')];
  const widths = columns.map((_, at) => Math.max(...cells.map((line) => stringWidth(line[at] ?? ''))));
  const draw = (line: readonly string[] | string) =>
    typeof line === 'string'
      ? line
      : line
          .map((text, at) => {
            const padding = ' '.repeat((widths[at] ?? 0) - stringWidth(text));
            return columns[at]?.align === 'right' ? padding + text : text + padding;
          })
          .join('  ')
          .trimEnd();
  const rule = widths.map((width) => '─'.repeat(width)).join('  ');
  const below = [...marks.listed.map(({ mark, text }) => `[${mark}] ${text}`), ...source.notes].map(
    withoutAnswerMarks,
  );
  return [source.caption, draw(headings), rule, ...lines.map(draw), ...below].join('\n');
}
