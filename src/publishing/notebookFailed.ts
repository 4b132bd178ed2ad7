import { callLine } from './callSite.ts';
import { cellAtLine, cellHeading, type NotebookSource } from './notebookSource.ts';

/** A notebook that stopped, and the cell it stopped in. */
export class NotebookFailed extends Error {
  override readonly name = 'NotebookFailed';
}

/** Which cell a notebook stopped in, and why, in one or two lines. */
export function failureMessage(name: string, url: string, source: NotebookSource, error: unknown): string {
  const stack = error instanceof Error ? (error.stack ?? '') : '';
  const reason = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  const line = callLine(url, stack);
  const cell = line === undefined ? undefined : cellAtLine(source, line);
  if (cell === undefined) return `notebook ${name} stopped: ${reason}`;
  return `notebook ${name} stopped in cell ${cell.number} ("${cellHeading(source, cell)}"), line ${line}: ${reason}`;
}
