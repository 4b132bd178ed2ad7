import { describe, expect, it } from 'vitest';
import { cellAtLine, cellHeading, parseNotebook } from '../../src/publishing/notebookSource.ts';

const small = `// %% [markdown]
// # Title
//
//     indented

// %%
const a = 1;

// %% [markdown]
// ## Second

//%%

const b = '// %% not at the start of a line';
`;

describe('parseNotebook', () => {
  it('finds cells, their lines and their text', () => {
    const { title, cells } = parseNotebook(small, 'small.ts');
    expect(title).toBe('Title');
    expect(cells.map(({ kind, firstLine, lastLine }) => [kind, firstLine, lastLine])).toEqual([
      ['markdown', 1, 5],
      ['code', 6, 8],
      ['markdown', 9, 11],
      ['code', 12, 15],
    ]);
    expect(cells[0]?.text).toBe('# Title\n\n    indented');
    expect(cells[1]?.text).toBe('const a = 1;');
    expect(cells[3]?.text).toBe("const b = '// %% not at the start of a line';");
  });

  it('reads Windows line ends alike', () => {
    expect(parseNotebook(small.replaceAll('\n', '\r\n'), 'small.ts')).toEqual(
      parseNotebook(small, 'small.ts'),
    );
  });

  it('finds the cell of a line and the heading above a cell', () => {
    const source = parseNotebook(small, 'small.ts');
    expect(cellAtLine(source, 7)?.number).toBe(2);
    expect(cellAtLine(source, 99)).toBeUndefined();
    expect(source.cells.map((cell) => cellHeading(source, cell))).toEqual([
      'Title',
      'Title',
      'Second',
      'Second',
    ]);
  });

  it.each([
    [
      'code first',
      'const a = 1;\n// %%\n',
      'bad.ts:1: this line stands before the first cell marker "// %%"',
    ],
    [
      'a misspelt marker',
      '// %% [markdwon]\n',
      'bad.ts:1: a cell starts with "// %%" or "// %% [markdown]", not',
    ],
    ['code in Markdown', '// %% [markdown]\n// # T\nconst a = 1;\n', 'bad.ts:3: a line in a Markdown cell'],
    ['no space after the slashes', '// %% [markdown]\n//# T\n', 'bad.ts:2: a line in a Markdown cell'],
    ['no title', '// %%\nconst a = 1;\n', 'bad.ts: the first cell must be Markdown with the title'],
    ['nothing at all', '', 'bad.ts: the first cell must be Markdown with the title'],
  ])('refuses %s, naming the line', (_, text, message) => {
    expect(() => parseNotebook(text, 'bad.ts')).toThrow(message);
  });
});
