import { fileURLToPath } from 'node:url';

/**
 * Which line of a notebook led to this call?
 *
 * Reads the stack, which tsx maps back to the lines of the source, also across `await`. The outermost
 * frame inside the notebook wins, so output made through a helper function counts for the cell that
 * called the helper, not for the cell that defined it.
 *
 * @param notebookUrl the notebook's `import.meta.url`
 * @param stack the `stack` of an error made during the call, deep enough to reach the notebook
 * @returns the line, from 1; undefined when the notebook is not on the stack
 */
export function callLine(notebookUrl: string, stack: string): number | undefined {
  const url = stripQuery(notebookUrl);
  const places = [url, fileURLToPath(url)].map(escapePattern).join('|');
  const frame = new RegExp(`(?:^|[\\s(])(?:${places})(?:\\?[^:)]*)?:(\\d+):\\d+\\)?$`);
  const lines = stack.split('\n').flatMap((text) => {
    const line = frame.exec(text.trimEnd())?.[1];
    return line === undefined ? [] : [Number(line)];
  });
  return lines.at(-1);
}

/** The whole stack of the present call, however deep. */
export function wholeStack(): string {
  const limit = Error.stackTraceLimit;
  Error.stackTraceLimit = Number.POSITIVE_INFINITY;
  const stack = new Error('call site').stack ?? '';
  Error.stackTraceLimit = limit;
  return stack;
}

/** tsx and the runner may append a query to tell two runs of one file apart. */
export function stripQuery(url: string): string {
  return url.replace(/[?#].*$/, '');
}

function escapePattern(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&');
}
