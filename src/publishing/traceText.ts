import { isReported } from '../extraction/reported.ts';
import type { TraceIndex } from '../extraction/trace/traceIndex.ts';

/** A row named as `events.csv:17`. */
export interface RowName {
  readonly file: string;
  readonly line: number;
}

/** Reads `events.csv:17`; undefined when it is not of that form. */
export function readRowName(text: string): RowName | undefined {
  const match = /^(.+\.(?:csv|json)):(\d+)$/.exec(text.trim());
  return match === null ? undefined : { file: match[1]!, line: Number(match[2]) };
}

/**
 * What one row feeds, as lines for a terminal.
 *
 * @throws RangeError when the sheets have no such row, naming the lines they have
 */
export function traceText(index: TraceIndex, { file, line }: RowName): readonly string[] {
  const ofFile = index.rows.filter(({ row }) => row.file === file);
  const found = ofFile.find(({ row }) => row.line === line);
  if (found === undefined) {
    const files = [...new Set(index.rows.map(({ row }) => row.file))];
    const lines = ofFile.map(({ row }) => row.line);
    throw new RangeError(
      lines.length === 0
        ? `no rows of ${file} are in this review; it has ${files.join(', ')}`
        : `no row starts at line ${line} of ${file}; its rows start at lines ${Math.min(...lines)} to ${Math.max(...lines)}`,
    );
  }
  const place = isReported(found.row.locator) ? found.row.locator : 'place in the paper not noted';
  const outputs = [...found.feeds, ...found.stands]
    .sort((a, b) => a - b)
    .flatMap((at) => index.outputs[at] ?? []);
  return [
    `${file}:${line}  ${[found.label, found.what, place].filter((part) => part).join('; ')}`,
    ...(outputs.length === 0
      ? [`  feeds nothing. ${found.idle ?? ''}`]
      : [`  feeds ${outputs.length} ${outputs.length === 1 ? 'output' : 'outputs'}:`]),
    ...outputs.map(({ kind, title, href }) => `    ${href}  ${kind}: ${title}`),
    ...(found.idle === undefined
      ? found.leftOut.map(({ reason, pages }) => `  left out on ${pages.join(', ')}: ${reason}`)
      : []),
  ];
}
