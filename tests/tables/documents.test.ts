import { createHash } from 'node:crypto';
import JSZip from 'jszip';
import { DOMParser, parseHTML } from 'linkedom';
import MarkdownIt from 'markdown-it';
import { describe, expect, it } from 'vitest';
import { renderPng } from '../../src/publishing/renderPng.ts';
import { wordFonts } from '../../src/publishing/wordFonts.ts';
import { documentToHtml } from '../../src/tables/documentToHtml.ts';
import { documentToMarkdown } from '../../src/tables/documentToMarkdown.ts';
import { documentToWord } from '../../src/tables/documentToWord.ts';
import { footnoteMarks } from '../../src/tables/footnotes.ts';
import {
  cellNotes,
  cellText,
  columnSpans,
  columnsFor,
  groupedRows,
  type Table,
  table,
} from '../../src/tables/table.ts';
import { columnWidths, textWidths, turnFor } from '../../src/tables/word/columnWidths.ts';
import { scrambled } from '../../src/tables/word/embeddedFonts.ts';
import { pictureSize } from '../../src/tables/word/pictureSize.ts';
import { wordText } from '../../src/tables/word/wordText.ts';
import { hostileTexts, narrowTable, sampleDocument, samplePicture, wideTable } from './sampleDocument.ts';

const renderPicture = (svg: string) => renderPng(svg, { dotsPerInch: 72 });
const bytes = await documentToWord(sampleDocument, { renderPicture });
const zip = await JSZip.loadAsync(bytes);
const part = async (path: string) =>
  new DOMParser().parseFromString(await zip.file(path)!.async('string'), 'text/xml');
/** What linkedom and the browser's types have in common. */
interface Searched {
  getElementsByTagName(name: string): ArrayLike<Element>;
}
const all = (from: unknown, name: string) => Array.from((from as Searched).getElementsByTagName(name));
const textOf = (element: Element) =>
  all(element, 'w:t')
    .map((text) => text.textContent)
    .join('');
const main = await part('word/document.xml');

/** Every cell a reader of a table sees, in reading order, with its marks. */
function cellsOf(source: Table): readonly string[] {
  const marks = footnoteMarks(source);
  const columns = columnsFor(source, 'page');
  const marked = (text: string, keys: readonly string[] | undefined) =>
    marks.of(keys) === '' ? text : `${text}\u00a0${marks.of(keys)}`;
  const spans = columnSpans(columns);
  const upper = spans.flatMap(({ group, columns: under }) =>
    group === undefined ? under.map((each) => marked(each.heading, each.notes)) : [group],
  );
  const lower = columns.flatMap((each) =>
    each.group === undefined
      ? spans.length < columns.length
        ? ['']
        : []
      : [marked(each.heading, each.notes)],
  );
  return [
    ...upper,
    ...lower,
    ...groupedRows(source).flatMap(({ group, rows }) => [
      ...(group === undefined ? [] : [marked(group.heading, group.notes)]),
      ...rows.flatMap(({ row }) => columns.map(({ key }) => marked(cellText(row[key]), cellNotes(row[key])))),
    ]),
  ];
}

describe('documentToWord', () => {
  it('every cell of every table stands in a Word table, in order', () => {
    const tables = all(main, 'w:tbl');
    const sources = sampleDocument.blocks.flatMap((block) => (block.kind === 'table' ? [block.table] : []));
    expect(tables.length).toBe(sources.length);
    for (const [at, made] of tables.entries()) {
      const shown = all(made, 'w:tc').map((cell) => textOf(cell).trim());
      const wanted = cellsOf(sources[at]!).map((text) => wordText(text).trim());
      expect(shown).toEqual(wanted);
    }
  });

  it('heading rows repeat, no row splits, and the grid of columns fits the page', () => {
    for (const made of all(main, 'w:tbl')) {
      const scope = made;
      const rows = all(scope, 'w:tr');
      const headings = rows.filter((row) => all(row, 'w:tblHeader').length === 1).length;
      expect(headings).toBe(all(scope, 'w:vMerge').length > 0 ? 2 : 1);
      expect(rows.every((row) => all(row, 'w:cantSplit').length === 1)).toBe(true);
      const grid = all(scope, 'w:gridCol').map((column) => Number(column.getAttribute('w:w')));
      expect(grid.reduce((sum, width) => sum + width, 0)).toBeLessThanOrEqual((257 / 25.4) * 1440 + 9);
      expect(all(scope, 'w:tblCaption')[0]?.getAttribute('w:val')).toMatch(/^Table \d\. /);
    }
  });

  it('the wide table stands on a turned page with its headings, the rest upright', () => {
    const turns = all(main, 'w:pgSz').map((size) => size.getAttribute('w:orient'));
    expect(turns).toEqual(['portrait', 'landscape', 'portrait']);
    const xml = main.toString();
    const [first = 0, second = 0] = [...xml.matchAll(/<w:sectPr/g)].map((match) => match.index);
    for (const words of ['Profile', 'One comparison', 'A wide table']) {
      expect(xml.indexOf(words)).toBeGreaterThan(first);
      expect(xml.indexOf(words)).toBeLessThan(second);
    }
    expect(xml.indexOf('The same again')).toBeLessThan(first);
  });

  it('headings, captions and paragraphs carry styles that exist', async () => {
    const known = all(await part('word/styles.xml'), 'w:style').map((style) =>
      style.getAttribute('w:styleId'),
    );
    const used = all(main, 'w:pStyle').map((style) => style.getAttribute('w:val'));
    for (const style of used) expect(known).toContain(style);
    for (const style of [
      'Title',
      'Heading1',
      'Heading2',
      'Caption',
      'TableText',
      'TableHeading',
      'Lead',
      'Note',
      'Warning',
    ])
      expect(used).toContain(style);
  });

  it('says its language, title, notice, caution and page number, and describes its picture', async () => {
    const styles = await part('word/styles.xml');
    expect(all(styles, 'w:lang')[0]?.getAttribute('w:val')).toBe('en-GB');
    const core = await part('docProps/core.xml');
    expect(all(core, 'dc:title')[0]?.textContent).toBe(sampleDocument.title);
    expect(all(core, 'dc:language')[0]?.textContent).toBe('en-GB');
    for (const number of [1, 2, 3]) {
      const head = await part(`word/header${number}.xml`);
      expect(all(head, 'w:t').map((text) => text.textContent)).toEqual([
        sampleDocument.title,
        sampleDocument.notice,
      ]);
      const foot = await part(`word/footer${number}.xml`);
      expect(all(foot, 'w:t').map((text) => text.textContent)).toContain(sampleDocument.caution);
      expect(all(foot, 'w:instrText').map((text) => text.textContent)).toEqual(['PAGE', 'NUMPAGES']);
    }
    // The parser leaves entities of attributes as they are written.
    expect(all(main, 'wp:docPr')[0]?.getAttribute('descr')).toMatch(
      /^Rates of "deformity" by site: 10 &(?:amp;)? 27 in 100\.$/,
    );
    const fonts = await zip.file('word/fontTable.xml')!.async('string');
    expect(fonts).toContain('<w:font w:name="Source Sans 3"><w:altName w:val="Calibri"/>');
  });

  it('carries its type where the caller brings it: whole, named, and read back by the key it states', async () => {
    const fonts = await wordFonts();
    const carrying = await documentToWord(sampleDocument, { renderPicture, fonts });
    const opened = await JSZip.loadAsync(carrying);
    const read = (path: string) => opened.file(path)!.async('string');
    expect(await read('[Content_Types].xml')).toContain(
      '<Default Extension="odttf" ContentType="application/vnd.openxmlformats-officedocument.obfuscatedFont"/>',
    );
    expect(await read('word/settings.xml')).toContain('<w:embedTrueTypeFonts/>');
    const table = await read('word/fontTable.xml');
    const links = await read('word/_rels/fontTable.xml.rels');
    for (const [face, id] of [
      ['Regular', 'rId1'],
      ['Bold', 'rId2'],
    ] as const) {
      const key = new RegExp(`<w:embed${face} r:id="${id}" w:fontKey="(\\{[0-9A-F-]{36}\\})"/>`).exec(
        table,
      )?.[1];
      const target = new RegExp(`Id="${id}"[^>]*Target="([^"]+)"`).exec(links)?.[1];
      const font = scrambled(await opened.file(`word/${target}`)!.async('uint8array'), key!);
      expect(font).toEqual(new Uint8Array(face === 'Regular' ? fonts.regular : fonts.bold));
      // The signature of a TrueType font (OpenType specification, table directory).
      expect([...font.subarray(0, 4)]).toEqual([0, 1, 0, 0]);
    }
    // Two cuts of Latin letters: under 200 kB in the file.
    expect(carrying.length - bytes.length).toBeLessThan(200_000);
    // The first byte of a font under this key is combined with the last byte of the key (ECMA-376 part 1, 17.8.1).
    expect(scrambled(new Uint8Array(33), '{00000000-0000-0000-0000-0000000000FF}')[0]).toBe(0xff);
    expect(scrambled(new Uint8Array(33), '{00000000-0000-0000-0000-0000000000FF}')[16]).toBe(0xff);
    expect(scrambled(new Uint8Array(33), '{FFFFFFFF-FFFF-FFFF-FFFF-FFFFFFFFFFFF}')[32]).toBe(0);
  });

  it('the same document is the same file, and no part tells when it was made', async () => {
    const hash = (file: Uint8Array) => createHash('sha256').update(file).digest('hex');
    expect(hash(await documentToWord(sampleDocument, { renderPicture }))).toBe(hash(bytes));
    for (const [path, file] of Object.entries(zip.files)) {
      expect(file.date.getTime()).toBe(Date.UTC(1980, 0, 1));
      if (path.endsWith('.xml')) expect(await file.async('string'), path).not.toMatch(/20\d\d-\d\d-\d\dT/);
    }
  });

  it('hostile text is text: no part of the package is broken by it', async () => {
    const cells = all(main, 'w:t').map((text) => text.textContent ?? '');
    for (const text of hostileTexts) expect(cells).toContain(wordText(text));
    for (const path of Object.keys(zip.files).filter((name) => name.endsWith('.xml'))) {
      const xml = await zip.file(path)!.async('string');
      // biome-ignore lint/suspicious/noControlCharactersInRegex: looks for what XML forbids.
      expect(xml).not.toMatch(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/);
      expect(xml).not.toContain('<img');
    }
    expect(wordText('a\u0000\ud800b\u{1f600}\u202e12')).toBe('ab\u{1f600}12');
  });

  it('a picture without a viewBox is refused, one with it keeps its shape', async () => {
    expect(pictureSize(samplePicture, 170, 215)).toEqual({ width: 170, height: 85 });
    expect(pictureSize(samplePicture, 257, 50)).toEqual({ width: 100, height: 50 });
    expect(pictureSize(samplePicture, 257, 135).width).toBe(190);
    expect(() => pictureSize('<svg width="90mm">', 170, 215)).toThrow('must have a viewBox');
  });
});

describe('widths of columns', () => {
  it('turn the page when the columns ask for more than it has', () => {
    expect([turnFor(narrowTable), turnFor(wideTable)]).toEqual(['portrait', 'landscape']);
  });

  it('never more than the room, every column its longest word while there is room', () => {
    for (const source of [narrowTable, wideTable])
      for (const turn of ['portrait', 'landscape'] as const) {
        const widths = columnWidths(source, turn);
        expect(widths.every((width) => width > 0)).toBe(true);
        expect(widths.reduce((sum, width) => sum + width, 0)).toBeLessThanOrEqual(textWidths[turn] + 1e-9);
      }
    const word = 'x'.repeat(200);
    const long = table({
      caption: 'c',
      columns: [
        { key: 'a', heading: word },
        { key: 'b', heading: 'b' },
        { key: 'c', heading: word },
        { key: 'd', heading: word },
      ],
      rows: [],
    });
    expect(columnWidths(long, 'portrait').reduce((sum, width) => sum + width, 0)).toBeLessThanOrEqual(
      170 + 1e-9,
    );
  });
});

describe('the same blocks as a page and as Markdown', () => {
  const page = parseHTML(documentToHtml(sampleDocument)).document;
  const read = parseHTML(
    `<body>${new MarkdownIt().render(documentToMarkdown(sampleDocument, { pictureAt: (at) => `p/${at}.svg` }))}</body>`,
  ).document;
  const texts = (from: Document, what: string) =>
    [...from.querySelectorAll(what)].map((each) => each.textContent?.trim());

  it('HTML: headings in order, every cell, nothing run', () => {
    expect(page.documentElement.getAttribute('lang')).toBe('en-GB');
    expect(texts(page, 'h1, h2, h3, h4')).toEqual([
      'Evidence <tables> & more',
      'Key messages',
      'Profile',
      'One comparison',
      'Pictures',
      'End',
    ]);
    expect(page.querySelectorAll('img, script, [onerror]').length).toBe(0);
    const body = texts(page, 'table')[0];
    for (const text of cellsOf(narrowTable)) expect(body).toContain(text.trim());
    expect(texts(page, 'figcaption')).toEqual(['Figure 1. Rates']);
  });

  it('Markdown: the same headings, cells and lists, and text that stays text', () => {
    expect(texts(read, 'h1, h2, h3, h4')).toEqual(texts(page, 'h1, h2, h3, h4'));
    expect(texts(read, 'li')).toEqual(texts(page, 'li'));
    expect(texts(read, 'table:nth-of-type(1) tbody td:first-child').length).toBeGreaterThan(
      hostileTexts.length,
    );
    const markdown = documentToMarkdown(sampleDocument, { pictureAt: (at) => `p/${at}.svg` });
    expect(markdown).toContain('](p/1.svg)');
    expect(read.querySelectorAll('em, a').length).toBe(0);
  });
});
