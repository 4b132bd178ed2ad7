import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { parseHTML } from 'linkedom';
import MarkdownIt from 'markdown-it';
import { describe, expect, it } from 'vitest';
import { notReported } from '../../src/extraction/reported.ts';
import { reportedCell, type Table, table } from '../../src/tables/table.ts';
import { tableToCsv } from '../../src/tables/tableToCsv.ts';
import { tableToHtml } from '../../src/tables/tableToHtml.ts';
import { tableToMarkdown } from '../../src/tables/tableToMarkdown.ts';
import { tableToText } from '../../src/tables/tableToText.ts';

const example = table({
  caption: 'Counts <by site>',
  columns: [
    { key: 'site', heading: 'Site' },
    { key: 'rate', heading: 'Per 100', align: 'right', shownIn: 'page' },
    { key: 'value', heading: 'rate', shownIn: 'file' },
  ],
  rows: [
    { site: 'Tenotomy | release', rate: '21', value: 0.2125 },
    { site: '=1+1', rate: 'none seen', value: -0.5 },
    { site: '東京 2019' },
  ],
  notes: ['Not a comparison.'],
});

/** The body cells of an HTML table, as text. */
function htmlCells(source: Table): string[][] {
  const { document } = parseHTML(`<body>${tableToHtml(source)}</body>`);
  return [...document.querySelectorAll('tbody tr')].map((row) =>
    [...row.querySelectorAll('th, td')].map((cell) => cell.textContent ?? ''),
  );
}

describe('table', () => {
  it.each([
    [{ columns: [], rows: [] }, 'needs at least one column'],
    [
      {
        columns: [
          { key: 'a', heading: 'A' },
          { key: 'a', heading: 'B' },
        ],
        rows: [],
      },
      'two columns share a key',
    ],
    [{ columns: [{ key: 'a', heading: 'A' }], rows: [{ b: 1 }] }, 'a row has "b", the columns are a'],
    [{ columns: [{ key: 'a', heading: 'A' }], rows: [{ a: Number.NaN }] }, '"a" is NaN'],
  ])('refuses what no table can be: %#', (parts, message) => {
    expect(() => table({ caption: 'c', ...parts })).toThrow(message);
  });

  it('keeps "not reported" as words', () => {
    expect([reportedCell(notReported), reportedCell(0), reportedCell('p. 3')]).toEqual([
      'not reported',
      0,
      'p. 3',
    ]);
  });
});

describe('one table, four forms', () => {
  it('text: columns line up by the width a terminal gives each character', () => {
    expect(tableToText(example).split('\n')).toEqual([
      'Counts <by site>',
      'Site                  Per 100',
      '──────────────────  ─────────',
      'Tenotomy | release         21',
      '=1+1                none seen',
      '東京 2019',
      'Not a comparison.',
    ]);
  });

  it('Markdown: cells are escaped and read back as they were', () => {
    const { document } = parseHTML(`<body>${new MarkdownIt().render(tableToMarkdown(example))}</body>`);
    const cells = [...document.querySelectorAll('tbody td')].map((cell) => cell.textContent);
    expect(cells).toEqual(['Tenotomy | release', '21', '=1+1', 'none seen', '東京 2019', '']);
    expect(document.querySelector('p')?.textContent).toBe('Counts <by site>');
  });

  it('HTML: caption, scoped headings, nothing of the file columns', () => {
    const { document } = parseHTML(`<body>${tableToHtml(example, { id: 'x' })}</body>`);
    expect(document.querySelector('caption')?.textContent).toBe('Counts <by site>');
    expect(document.querySelector('caption')?.id).toBe('x');
    expect([...document.querySelectorAll('th[scope=col]')].map((cell) => cell.textContent)).toEqual([
      'Site',
      'Per 100',
    ]);
    expect(document.querySelectorAll('th[scope=row]').length).toBe(3);
    expect(document.querySelector('.note')?.textContent).toBe('Not a comparison.');
  });

  it('CSV: formulas neutralised, numbers in full and negative ones left numbers, page columns left out', () => {
    expect(tableToCsv(example)).toBe(
      "\ufeffSite,rate\r\nTenotomy | release,0.2125\r\n'=1+1,-0.5\r\n東京 2019,\r\n",
    );
  });

  it('whatever a cell holds: HTML gives it back as text, Markdown makes no tag of it, CSV reads back', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (text) => {
        const one = table({ caption: 'c', columns: [{ key: 'a', heading: 'a' }], rows: [{ a: `x${text}` }] });
        const line = `x${text}`.replace(/[ \t\r\n\v\f\u2028\u2029]+/g, ' ').trim();
        expect(tableToHtml(one).match(/<(?!\/?(?:table|caption|span|thead|tbody|tr|th|td)\b)/g)).toBeNull();
        if (!/[&\0]/.test(text)) expect(htmlCells(one)).toEqual([[line]]);
        const markdown = new MarkdownIt({ html: false }).render(tableToMarkdown(one));
        expect(markdown).not.toMatch(/<(?:a|img|em|code|script|s)\b/);
        const [, row] = parse(tableToCsv(one), { bom: true });
        expect(row).toEqual([`x${text}`]);
      }),
    );
  });

  it.each(['=', '+', '-', '@', '\t', '\r'])(
    'CSV: a text that starts with %j does not stay a formula',
    (start) => {
      const one = table({
        caption: 'c',
        columns: [{ key: 'a', heading: 'a' }],
        rows: [{ a: `${start}cmd()` }],
      });
      const [, row] = parse(tableToCsv(one), { bom: true });
      expect(row?.[0]?.[0]).toBe("'");
    },
  );
});
