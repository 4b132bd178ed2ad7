import { existsSync, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseHTML } from 'linkedom';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findNotebooks } from '../../src/publishing/findNotebooks.ts';
import { filesUnder } from '../../src/publishing/writeFiles.ts';
import { hostileTexts, writeHostileReview } from './helpers/hostileReview.ts';
import { pagesInBrowser } from './helpers/pagesInBrowser.ts';
import { projectRoot, start } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-pages-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const out = join(root, 'out');
let pages: ReadonlyMap<string, string> = new Map();

beforeAll(async () => {
  writeHostileReview(join(root, 'review'));
  const { code, err } = await start(join(root, 'review'), '--out', out);
  expect(`${code} ${code === 0 ? '' : err}`).toBe('0 ');
  pages = new Map([...filesUnder(out)].filter(([path]) => path.endsWith('.html')));
}, 120_000);

const parsed = new Map<string, Document>();
/** The document of a page; no test changes one, so each is parsed once. */
const documentOf = (html: string): Document => {
  const document = parsed.get(html) ?? (parseHTML(html).document as unknown as Document);
  parsed.set(html, document);
  return document;
};
const notebookPages = () => [...pages].filter(([path]) => !['index.html', 'trace.html'].includes(path));
const jsonOf = (path: string) => JSON.parse(readFileSync(join(out, path.replace('.html', '.json')), 'utf8'));
/** Pages made from the review, not from data a notebook brings itself. */
const ofReview = () => notebookPages().filter(([path]) => jsonOf(path).dataFrom === undefined);

/** Text a data: address holds. */
const inData = (href: string): string =>
  Buffer.from(href.slice(href.indexOf(',') + 1), 'base64').toString('utf8');

describe('pages of a review with hostile text', () => {
  it('are one for each notebook, and a list of them', () => {
    const notebooks = findNotebooks(join(projectRoot, 'notebooks')).map(({ name }) => `${name}.html`);
    expect([...pages.keys()].sort()).toEqual([...notebooks, 'index.html', 'trace.html'].sort());
    for (const name of [
      'cosmetic-deformity',
      'groove-pain',
      'revision',
      'overview-by-site',
      'worked-examples',
    ]) {
      expect(notebooks).toContain(`${name}.html`);
    }
  });

  it('hold no script, no handler and nothing the text of a sheet made', () => {
    for (const [path, html] of pages) {
      const document = documentOf(html);
      expect(document.querySelectorAll('script, iframe, object, embed, img, b, base').length, path).toBe(0);
      // Gathered first: an expectation for each of some hundred thousand attributes takes longer than reading them.
      const attributes = [...document.querySelectorAll('*')].flatMap((element) => [...element.attributes]);
      expect(attributes.length, path).toBeGreaterThan(100);
      const acting = attributes.filter(
        ({ name, value }) => /^on/i.test(name) || /^\s*javascript:/i.test(value),
      );
      expect(acting, path).toEqual([]);
    }
  });

  it('show the text as the characters it is made of', () => {
    for (const [path, html] of ofReview()) {
      expect(documentOf(html).querySelector('title')?.textContent, path).toContain('<script>');
      expect(documentOf(html).body.textContent, path).toContain(hostileTexts.notice);
    }
    const arms = documentOf(pages.get('cosmetic-deformity.html') ?? '');
    const names = [...arms.querySelectorAll('tbody th')].map((cell) => cell.textContent);
    expect(names).toContain(hostileTexts.label);
  });

  it('neutralise formulas in the CSV they offer', () => {
    const links = [
      ...documentOf(pages.get('cosmetic-deformity.html') ?? '').querySelectorAll('a[download$=".csv"]'),
    ];
    const files = links.map((link) => inData(link.getAttribute('href') ?? ''));
    expect(files.some((csv) => csv.includes("'=HYPERLINK("))).toBe(true);
    for (const csv of files) expect(csv).not.toMatch(/(^|,|\n)"?=/);
  });

  it('load nothing: no address outside the page but links and data', () => {
    for (const [path, html] of pages) {
      const document = documentOf(html);
      const style = document.querySelector('style')?.textContent ?? '';
      expect(style.match(/url\((?!data:)/g), path).toBeNull();
      expect(style, path).not.toContain('@import');
      for (const element of document.querySelectorAll('[src], [href], [srcset], [data], [poster]')) {
        if (element.localName === 'a') continue;
        const address = element.getAttribute('href') ?? element.getAttribute('xlink:href') ?? 'none';
        expect(address, `${path} <${element.localName}>`).toMatch(/^(?:data:|#)/);
      }
    }
  });

  it('have links and anchors that lead somewhere, and every id once', () => {
    const known = new Map<string, ReadonlySet<string>>();
    const idsOf = (file: string): ReadonlySet<string> => {
      const found = known.get(file) ?? new Set((pages.get(file) ?? '').match(/(?<= id=")[^"]+/g) ?? []);
      known.set(file, found);
      return found;
    };
    const files = new Set(filesUnder(out).keys());
    const there = (file: string): boolean => files.has(file);
    for (const [path, html] of pages) {
      const document = documentOf(html);
      const every = [...document.querySelectorAll('[id]')].map((element) => element.id);
      const ids = new Set(every);
      expect(
        every.filter((id, at) => every.indexOf(id) !== at),
        path,
      ).toEqual([]);
      const dead: string[] = [];
      for (const link of document.querySelectorAll('a[href]')) {
        const href = link.getAttribute('href') ?? '';
        if (href.startsWith('data:')) continue;
        if (href.startsWith('#')) {
          if (!ids.has(href.slice(1))) dead.push(href);
        } else if (!href.startsWith('https://')) {
          const [file = '', anchor] = href.split('#');
          if (!there(file) || (anchor !== undefined && !idsOf(file).has(anchor))) dead.push(href);
        }
      }
      expect(dead, path).toEqual([]);
      for (const element of document.querySelectorAll('[aria-labelledby]')) {
        for (const id of (element.getAttribute('aria-labelledby') ?? '').split(' '))
          expect(ids.has(id), `${path} aria-labelledby ${id}`).toBe(true);
      }
    }
  });

  it('carry the banner, the search date, the methods, the versions and the caution', () => {
    for (const [path, html] of ofReview()) {
      const text = documentOf(html).body.textContent ?? '';
      for (const words of [
        'Invented data.',
        '2026-06-30',
        'tenosite 0.',
        'Node 2',
        'never replace',
        'Departures',
      ]) {
        expect(text, path).toContain(words);
      }
      const { methods } = jsonOf(path);
      if (methods.length > 0) expect(text, path).toContain(methods[0]);
    }
    for (const name of ['cosmetic-deformity', 'groove-pain', 'revision', 'overview-by-site']) {
      expect(jsonOf(`${name}.html`).methods.join(' '), name).toContain('were pooled with tenosite');
    }
    const published = documentOf(pages.get('worked-examples.html') ?? '').body.textContent ?? '';
    expect(published).toContain('never replace');
    expect(published).not.toContain('Invented data.');
  });

  it('lead from the overview to files of this run, and to their tables and figures', () => {
    const links = [...documentOf(pages.get('index.html') ?? '').querySelectorAll('a[href]')];
    expect(links.length).toBeGreaterThan(100);
    for (const link of links) {
      const [file = '', anchor] = (link.getAttribute('href') ?? '').split('#');
      const target = file === '' ? 'index.html' : file;
      expect(existsSync(join(out, target)), target).toBe(true);
      if (anchor !== undefined) expect(pages.get(target), `${file}#${anchor}`).toContain(` id="${anchor}"`);
    }
  });

  it('stay under three megabytes each', () => {
    for (const path of pages.keys()) expect(statSync(join(out, path)).size, path).toBeLessThan(3_000_000);
  });

  it('have a JSON file beside them with every result and its inputs', () => {
    for (const [path] of notebookPages()) {
      const json = jsonOf(path);
      expect(json.notebook).toBe(path.replace('.html', ''));
      expect(Object.keys(json.results).length, path).toBeGreaterThan(0);
      expect(json.shown.length, path).toBeGreaterThan(0);
    }
    const { results } = jsonOf('cosmetic-deformity.html');
    const [first] = results.pools.sites;
    expect(first.pool.arms[0].row.file).toBe('events.csv');
    expect(first.pool.options.level).toBe(0.95);
  });
});

// Here and not in a file of its own, so that one run of every notebook on the hostile review serves both.
pagesInBrowser(out);
