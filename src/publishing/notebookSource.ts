/** One cell of a percent-format notebook. */
export interface NotebookCell {
  readonly kind: 'markdown' | 'code';
  /** Counted from 1. */
  readonly number: number;
  /** Lines of the file, from 1: the marker line and the last line before the next marker. */
  readonly firstLine: number;
  readonly lastLine: number;
  /** Markdown without the comment marks, or the code as written. */
  readonly text: string;
}

export interface NotebookSource {
  readonly title: string;
  readonly cells: readonly NotebookCell[];
}

const marker = /^\/\/ ?%%(?<rest>.*)$/;

/**
 * Reads a script in the percent format: `// %%` starts a code cell, `// %% [markdown]` a cell of prose
 * in line comments. Nothing but blank lines may stand before the first marker, so every line that runs
 * belongs to a cell.
 *
 * @param text the script; @param file its name, for messages
 * @throws when the first cell is not Markdown with a `# title`, a marker is misspelt, or a Markdown cell
 *   holds a line that is not a comment: each names file and line
 * @example
 * const { title, cells } = parseNotebook(await readFile('notebooks/revision.ts', 'utf8'), 'revision.ts');
 */
export function parseNotebook(text: string, file: string): NotebookSource {
  const lines = text.replace(/\r\n/g, '\n').split('\n');
  const starts: { line: number; kind: NotebookCell['kind'] }[] = [];
  lines.forEach((line, at) => {
    const rest = marker.exec(line)?.groups?.rest?.trim();
    if (rest === undefined) {
      if (starts.length === 0 && line.trim() !== '') {
        throw new SyntaxError(`${file}:${at + 1}: this line stands before the first cell marker "// %%"`);
      }
      return;
    }
    if (rest !== '' && rest !== '[markdown]') {
      throw new SyntaxError(
        `${file}:${at + 1}: a cell starts with "// %%" or "// %% [markdown]", not "${line}"`,
      );
    }
    starts.push({ line: at, kind: rest === '' ? 'code' : 'markdown' });
  });
  const cells = starts.map((start, at): NotebookCell => {
    const end = starts[at + 1]?.line ?? lines.length;
    const body = lines.slice(start.line + 1, end);
    const content = start.kind === 'code' ? body : uncomment(body, start.line + 2, file);
    return {
      kind: start.kind,
      number: at + 1,
      firstLine: start.line + 1,
      lastLine: end,
      text: trimBlankLines(content),
    };
  });
  const title = cells[0]?.kind === 'markdown' ? /^# (.+)$/m.exec(cells[0].text)?.[1] : undefined;
  if (title === undefined) {
    throw new SyntaxError(`${file}: the first cell must be Markdown with the title as "# title"`);
  }
  return { title: title.trim(), cells };
}

/** The cell a line of the file belongs to; undefined outside the file. */
export function cellAtLine(source: NotebookSource, line: number): NotebookCell | undefined {
  return source.cells.find((cell) => line >= cell.firstLine && line <= cell.lastLine);
}

/** A code cell is named by the nearest heading above it. */
export function cellHeading(source: NotebookSource, cell: NotebookCell): string {
  const headings = source.cells
    .filter((earlier) => earlier.kind === 'markdown' && earlier.number <= cell.number)
    .flatMap((earlier) => [...earlier.text.matchAll(/^#{1,6} (.+)$/gm)].map((match) => match[1] ?? ''));
  return headings.at(-1)?.trim() ?? source.title;
}

function uncomment(body: readonly string[], firstLine: number, file: string): string[] {
  return body.map((line, at) => {
    if (line.trim() === '') return '';
    const match = /^\/\/(?: (?<text>.*)|)$/.exec(line);
    if (match === null) {
      throw new SyntaxError(`${file}:${firstLine + at}: a line in a Markdown cell must start with "// "`);
    }
    return match.groups?.text ?? '';
  });
}

function trimBlankLines(lines: readonly string[]): string {
  return lines
    .join('\n')
    .replace(/^(?:[ \t]*\n)+/, '')
    .trimEnd();
}
