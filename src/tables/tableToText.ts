import stringWidth from 'string-width';
import { cellText, columnsFor, type Table } from './table.ts';

/**
 * A table for the console: columns padded to the width a terminal gives each character.
 *
 * @example
 * console.log(tableToText(ratesBySiteTable(pools)));
 */
export function tableToText(source: Table): string {
  const columns = columnsFor(source, 'page');
  const lines = [
    columns.map((column) => column.heading),
    ...source.rows.map((row) => columns.map((column) => cellText(row[column.key]))),
  ];
  const widths = columns.map((_, at) => Math.max(...lines.map((line) => stringWidth(line[at] ?? ''))));
  const drawn = lines.map((line) =>
    line
      .map((text, at) => {
        const padding = ' '.repeat((widths[at] ?? 0) - stringWidth(text));
        return columns[at]?.align === 'right' ? padding + text : text + padding;
      })
      .join('  ')
      .trimEnd(),
  );
  const rule = widths.map((width) => '─'.repeat(width)).join('  ');
  return [source.caption, drawn[0], rule, ...drawn.slice(1), ...source.notes].join('\n');
}
