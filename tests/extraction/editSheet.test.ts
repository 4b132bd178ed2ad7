// A sheet is edited in place: what nobody asked to change is read back as it was, character for character.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseDelimitedText } from '../../src/extraction/delimitedText.ts';
import { editSheet } from '../../src/extraction/editSheet.ts';

const known = ['name', 'value', 'notes', 'held'];
const edit = (
  text: string,
  cells: Record<number, Record<string, string>>,
  rows = [] as Record<string, string>[],
) =>
  editSheet(text, known, {
    cells: new Map(Object.entries(cells).map(([line, own]) => [Number(line), own])),
    rows,
  });

describe('editSheet', () => {
  it('changes a cell, adds a column at the end and a row after the last', () => {
    expect(edit('name,value\na,1\nb,2\n', { 3: { value: '9', held: 'x' } }, [{ name: 'c' }])).toBe(
      'name,value,held\na,1,\nb,9,x\nc,,\n',
    );
  });

  it('leaves comments, blank lines, and rows nobody changed as they were typed', () => {
    const text = '# mine, "as is\nname,value,held\n\n"a",  1 ,\n# more\nb,2,\n';
    expect(edit(text.replace('"as', 'as'), { 6: { held: 'x' } })).toBe(
      '# mine, as is\nname,value,held\n\n"a",  1 ,\n# more\nb,2,x\n',
    );
  });

  it('keeps separators, byte order mark, line ends and a separator line', () => {
    expect(edit('\ufeffsep=;\r\nname;value\r\n"a;b";1\r\n', { 3: { held: 'x' } }, [{ name: 'c;d' }])).toBe(
      '\ufeffsep=;\r\nname;value;held\r\n"a;b";1;x\r\n"c;d";;\r\n',
    );
    expect(edit('name\tvalue\na\t1', { 2: { value: '2' } }, [{ name: 'b' }])).toBe(
      'name\tvalue\na\t2\nb\t\n',
    );
    expect(
      editSheet(new TextEncoder().encode('\ufeffname,value\na,é\n'), known, {
        cells: new Map([[2, { held: 'x' }]]),
        rows: [],
      }),
    ).toBe('\ufeffname,value,held\na,é,x\n');
  });

  it('finds a row behind cells of several lines, and puts a new column under its heading', () => {
    expect(edit('name,notes,,\n"a\nb","say ""so""",,\nc,d,\n', { 4: { held: 'x' } })).toBe(
      'name,notes,,,held\n"a\nb","say ""so""",,,\nc,d,,,x\n',
    );
  });

  it('refuses a line on which no row begins', () => {
    expect(() => edit('name,value\n"a\nb",1\n', { 3: { value: '2' } })).toThrow('no row begins on line 3');
  });

  it('whatever the cells hold: the others are read back as they were', () => {
    const cell = fc.string({
      unit: fc.constantFrom('a', '"', ',', ';', '\n', ' ', '\t', "'", '=', 'é', '1'),
    });
    const quote = (text: string): string => `"${text.replaceAll('"', '""')}"`;
    const rowsOf = (text: string) =>
      parseDelimitedText('x.csv', text, ',').rows.map(({ cells }) => cells.map((each) => each.text));
    fc.assert(
      fc.property(
        fc.array(fc.tuple(cell, cell, cell), { minLength: 1, maxLength: 6 }),
        fc.nat(),
        cell,
        (rows, pick, value) => {
          const named = rows.map(([name, ...rest]) => [`n${name}`, ...rest]);
          const text = `name,value,notes\n${named.map((row) => row.map(quote).join(',')).join('\n')}\n`;
          const at = pick % named.length;
          const line = parseDelimitedText('x.csv', text, ',').rows[at + 1]!.line;
          const made = edit(text, { [line]: { value, held: 'h' } }, [{ name: 'new' }]);
          expect(rowsOf(made)).toEqual([
            ['name', 'value', 'notes', 'held'],
            ...named.map(([name, old, notes], index) =>
              index === at ? [name, value, notes, 'h'] : [name, old, notes, ''],
            ),
            ['new', '', '', ''],
          ]);
        },
      ),
    );
  });
});
