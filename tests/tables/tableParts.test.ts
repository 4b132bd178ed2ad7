import { parse } from 'csv-parse/sync';
import { parseHTML } from 'linkedom';
import MarkdownIt from 'markdown-it';
import { describe, expect, it } from 'vitest';
import { footnoteMarks } from '../../src/tables/footnotes.ts';
import { sourcesText } from '../../src/tables/rowSources.ts';
import { type Table, type TableParts, table } from '../../src/tables/table.ts';
import { tableToCsv } from '../../src/tables/tableToCsv.ts';
import { tableToHtml } from '../../src/tables/tableToHtml.ts';
import { tableToMarkdown } from '../../src/tables/tableToMarkdown.ts';
import { tableToText } from '../../src/tables/tableToText.ts';

const at = (line: number, file = 'events.csv') => ({ file, line, locator: `table ${line}` });
const parts: TableParts = {
  caption: 'Findings',
  columns: [
    { key: 'outcome', heading: 'Outcome' },
    { key: 'without', heading: 'Tenotomy', group: 'Per 1000', align: 'right' },
    { key: 'with', heading: 'Subpectoral', group: 'Per 1000', align: 'right', notes: ['risk'] },
    { key: 'sure', heading: 'Certainty' },
    { key: 'raw', heading: 'risk', shownIn: 'file' },
  ],
  rowGroups: [
    { heading: 'Harms <all>', rows: 2, notes: ['harm'] },
    { heading: 'Scores', rows: 1 },
  ],
  rows: [
    {
      outcome: 'Deformity',
      without: 272,
      with: 98,
      sure: { text: 'low', notes: ['bias', 'risk'] },
      raw: 0.098,
    },
    { outcome: 'Revision', without: 10, with: 12, sure: { text: 'very low', notes: ['bias', 'few'] } },
    { outcome: 'Pain', sure: { text: undefined, notes: ['few'] } },
  ],
  footnotes: [
    { key: 'few', text: 'Few events.' },
    { key: 'bias', text: 'No blinding.' },
    { key: 'risk', text: 'From the <pooled> odds ratio.' },
    { key: 'harm', text: 'Counted per shoulder.' },
  ],
  notes: ['A note for all.'],
  sources: [[at(12), at(3), at(12), at(7, 'arms.csv')], [], [at(5)]],
};
const full: Table = table(parts);
const body = (source: Table) => parseHTML(`<body>${tableToHtml(source)}</body>`).document;

describe('what a table with groups and footnotes refuses', () => {
  const change = (more: Partial<TableParts>) => () => table({ ...parts, ...more });
  it.each([
    [{ rowGroups: [{ heading: 'Harms', rows: 2 }] }, 'row groups cover 2 rows, the table has 3'],
    [{ rowGroups: [{ heading: 'Harms', rows: 1.5 }] }, 'must be a whole number'],
    [{ sources: [[]] }, 'sources speak of 1 rows, the table has 3'],
    [{ footnotes: parts.footnotes!.slice(1) }, 'no footnote explains "few"'],
    [{ footnotes: [...parts.footnotes!, { key: 'lost', text: '' }] }, 'no cell uses the footnote "lost"'],
    [{ footnotes: [...parts.footnotes!, { key: 'few', text: '' }] }, 'two footnotes share a key'],
    [
      { columns: [parts.columns[1]!, parts.columns[0]!, ...parts.columns.slice(2)] },
      'columns of the group "Per 1000" do not stand together',
    ],
    [{ rows: [{ outcome: { text: Number.NaN, notes: [] } }] }, '"outcome" is NaN'],
  ] satisfies [Partial<TableParts>, string][])('%#', (more, message) => {
    expect(change(more)).toThrow(message);
  });

  it('a footnote that only a file column would carry explains nothing a reader sees', () => {
    expect(() =>
      table({
        caption: 'c',
        columns: [
          { key: 'a', heading: 'A', shownIn: 'file' },
          { key: 'b', heading: 'B' },
        ],
        rows: [{ a: { text: 1, notes: ['n'] } }],
        footnotes: [{ key: 'n', text: 'n' }],
      }),
    ).toThrow('no cell uses the footnote "n"');
  });
});

describe('footnotes', () => {
  it('letters follow the reading order: headings, then rows from left to right', () => {
    expect(footnoteMarks(full).listed).toEqual([
      { mark: 'a', text: 'From the <pooled> odds ratio.' },
      { mark: 'b', text: 'Counted per shoulder.' },
      { mark: 'c', text: 'No blinding.' },
      { mark: 'd', text: 'Few events.' },
    ]);
    expect(footnoteMarks(full).of(['few', 'risk'])).toBe('a,d');
  });

  it('after z comes aa', () => {
    const keys = Array.from({ length: 28 }, (_, i) => `n${i}`);
    const long = table({
      caption: 'c',
      columns: [{ key: 'a', heading: 'A' }],
      rows: keys.map((key) => ({ a: { text: key, notes: [key] } })),
      footnotes: keys.map((key) => ({ key, text: key })),
    });
    expect(
      footnoteMarks(long)
        .listed.slice(25)
        .map(({ mark }) => mark),
    ).toEqual(['z', 'aa', 'ab']);
  });
});

describe('four forms of a table with groups', () => {
  it('HTML: every heading is scoped to what it heads, and the columns add up in every row', () => {
    const page = body(full);
    const scoped = (scope: string) =>
      [...page.querySelectorAll(`th[scope=${scope}]`)].map((cell) => cell.textContent);
    expect(scoped('colgroup')).toEqual(['Per 1000']);
    expect(scoped('rowgroup')).toEqual(['Harms <all>\u00a0b', 'Scores']);
    expect(scoped('col')).toEqual(['Outcome', 'Certainty', 'Tenotomy', 'Subpectoral\u00a0a']);
    expect(scoped('row')).toEqual(['Deformity', 'Revision', 'Pain']);
    expect(page.querySelectorAll('tbody').length).toBe(2);
    expect(page.querySelector('tbody tr:nth-child(2)')?.getAttribute('data-rows')).toBe(
      'events.csv:3, events.csv:12; arms.csv:7',
    );
    expect([...page.querySelectorAll('.footnote')].map((note) => note.textContent)).toEqual([
      'a From the <pooled> odds ratio.',
      'b Counted per shoulder.',
      'c No blinding.',
      'd Few events.',
    ]);
    for (const row of page.querySelectorAll('tbody tr')) {
      const width = [...row.querySelectorAll('th, td')].reduce(
        (sum, cell) => sum + Number(cell.getAttribute('colspan') ?? 1),
        0,
      );
      expect(width).toBe(4);
    }
  });

  it('Markdown: one row for each row and each heading over rows; the marks read back', () => {
    const page = parseHTML(`<body>${new MarkdownIt().render(tableToMarkdown(full))}</body>`).document;
    const cells = (row: Element) => [...row.querySelectorAll('td')].map((cell) => cell.textContent);
    expect([...page.querySelectorAll('thead th')].map((cell) => cell.textContent)).toEqual([
      'Outcome',
      'Per 1000: Tenotomy',
      'Per 1000: Subpectoral [a]',
      'Certainty',
    ]);
    expect([...page.querySelectorAll('tbody tr')].map(cells)).toEqual([
      ['Harms <all> [b]', '', '', ''],
      ['Deformity', '272', '98', 'low [a,c]'],
      ['Revision', '10', '12', 'very low [c,d]'],
      ['Scores', '', '', ''],
      ['Pain', '', '', '[d]'],
    ]);
    expect([...page.querySelectorAll('p')].map((text) => text.textContent)).toContain('[d] Few events.');
  });

  it('CSV: the same cells with group, footnotes in words and sheet lines', () => {
    expect(parse(tableToCsv(full), { bom: true })).toEqual([
      [
        'Group',
        'Outcome',
        'Per 1000: Tenotomy',
        'Per 1000: Subpectoral',
        'Certainty',
        'risk',
        'Footnotes',
        'Sheet and line',
      ],
      [
        'Harms <all>',
        'Deformity',
        '272',
        '98',
        'low',
        '0.098',
        'Per 1000: Subpectoral: From the <pooled> odds ratio. | Harms <all>: Counted per shoulder. | Certainty: No blinding. | Certainty: From the <pooled> odds ratio.',
        'events.csv:3, events.csv:12; arms.csv:7',
      ],
      [
        'Harms <all>',
        'Revision',
        '10',
        '12',
        'very low',
        '',
        'Certainty: No blinding. | Certainty: Few events.',
        '',
      ],
      ['Scores', 'Pain', '', '', '', '', 'Certainty: Few events.', 'events.csv:5'],
    ]);
  });

  it('text: headings over rows stand on lines of their own', () => {
    expect(tableToText(full).split('\n')).toEqual([
      'Findings',
      'Outcome    Per 1000: Tenotomy  Per 1000: Subpectoral [a]  Certainty',
      '─────────  ──────────────────  ─────────────────────────  ──────────────',
      'Harms <all> [b]',
      'Deformity                 272                         98  low [a,c]',
      'Revision                   10                         12  very low [c,d]',
      'Scores',
      'Pain                                                      [d]',
      '[a] From the <pooled> odds ratio.',
      '[b] Counted per shoulder.',
      '[c] No blinding.',
      '[d] Few events.',
      'A note for all.',
    ]);
  });

  it('sheet lines are named once each', () => {
    expect(sourcesText([])).toBe('');
    expect(sourcesText([at(9), at(2, 'a.csv'), at(4), at(9)])).toBe('events.csv:4, events.csv:9; a.csv:2');
  });
});
