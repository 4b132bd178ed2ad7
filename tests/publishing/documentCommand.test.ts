// `npm run document` as a person runs it: on a hostile review, and on folders that cannot be used.
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import JSZip from 'jszip';
import { chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { filesUnder } from '../../src/publishing/writeFiles.ts';
import { writeHostileReview } from './helpers/hostileReview.ts';
import { projectRoot, runScript } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-document-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const run = (...words: string[]) => runScript('src/publishing/document.ts', words);

const has = (...programs: readonly string[]) =>
  programs.every((program) => spawnSync('which', [program]).status === 0);
const office = has('soffice', 'pdftotext', 'pdfinfo');
const chromiumPath = '/usr/bin/chromium';
const browser = existsSync(chromiumPath);
if (!office)
  process.stdout.write('document in LibreOffice skipped: soffice, pdftotext or pdfinfo is missing\n');
if (!browser) process.stdout.write(`document page in a browser skipped: there is no ${chromiumPath}\n`);

describe('npm run document', () => {
  const out = join(root, 'out');
  const made = (path: string) => join(out, 'evidence', path);
  let printed = '';
  beforeAll(async () => {
    writeHostileReview(join(root, 'review'));
    // Two sites are enough, and make one comparison instead of six.
    const protocol = join(root, 'review', 'protocol.json');
    const rules: Record<string, unknown> = JSON.parse(readFileSync(protocol, 'utf8'));
    writeFileSync(protocol, JSON.stringify({ ...rules, sites: ['subpectoral', 'tenotomy'] }));
    const { code, out: said } = await run(join(root, 'review'), '--out', out);
    expect(code).toBe(0);
    printed = said;
  }, 120_000);

  it('writes Word, HTML, Markdown and the pictures of the Markdown, and says where', () => {
    const paths = [...filesUnder(join(out, 'evidence')).keys()].sort();
    expect(paths.slice(-3)).toEqual(['index.html', 'review-evidence.docx', 'review-evidence.md']);
    for (const path of paths.slice(-3)) expect(printed).toContain(path);
    const markdown = readFileSync(made('review-evidence.md'), 'utf8');
    for (const [, file = ''] of markdown.matchAll(/\]\((figure-\d+\.svg)\)/g)) expect(paths).toContain(file);
    expect(paths.filter((path) => path.endsWith('.svg')).length).toBeGreaterThan(3);
  });

  it('no cell of a hostile review becomes a tag in any part of the Word file or the page', async () => {
    const zip = await JSZip.loadAsync(readFileSync(made('review-evidence.docx')));
    for (const path of Object.keys(zip.files).filter((name) => name.endsWith('.xml')))
      expect(/<(?:img|script)\b|<a\s/.test(await zip.file(path)!.async('string')), path).toBe(false);
    expect(/<(?:img|script)\b/.test(readFileSync(made('index.html'), 'utf8'))).toBe(false);
  });

  it.skipIf(!browser)(
    'the page is silent, asks for nothing, and axe finds no violation',
    async () => {
      const opened = await chromium.launch({
        executablePath: chromiumPath,
        args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-background-networking'],
      });
      const page = await opened.newPage();
      const complaints: string[] = [];
      page.on('console', (message) => complaints.push(message.text()));
      page.on('pageerror', (error) => complaints.push(String(error)));
      const address = pathToFileURL(made('index.html')).href;
      page.on('request', (request) => {
        if (request.url() !== address && !request.url().startsWith('data:')) complaints.push(request.url());
      });
      await page.goto(address);
      await page.evaluate(
        readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8'),
      );
      const found = await page.evaluate(
        'axe.run().then(({ violations }) => violations.map(({ id, nodes }) => id + ": " + nodes[0].html))',
      );
      expect(found).toEqual([]);
      expect(complaints).toEqual([]);
      await opened.close();
    },
    60_000,
  );

  it.skipIf(!office)(
    'LibreOffice opens it: upright and turned pages, headings repeated, caution on every page',
    () => {
      const profile = pathToFileURL(join(root, 'office')).href;
      const converted = spawnSync('soffice', [
        `-env:UserInstallation=${profile}`,
        '--headless',
        '--convert-to',
        'pdf',
        '--outdir',
        root,
        made('review-evidence.docx'),
      ]);
      expect(converted.status).toBe(0);
      const pdf = join(root, 'review-evidence.pdf');
      const sizes = String(spawnSync('pdfinfo', ['-f', '1', '-l', '999', pdf]).stdout).match(
        /size: .+ pts/g,
      )!;
      const upright = sizes
        .map((size) => size.match(/[\d.]+/g)!.map(Number))
        .map(([across, down]) => across! < down!);
      expect(new Set(upright).size).toBe(2);
      const pages = String(spawnSync('pdftotext', ['-layout', pdf, '-']).stdout)
        .split('\f')
        .slice(0, -1);
      expect(pages.length).toBe(sizes.length);
      for (const [at, page] of pages.entries()) {
        expect(page).toContain('never replace');
        expect(page).toMatch(new RegExp(`Page ${at + 1} of ${pages.length}`));
      }
      // A heading left behind would be the last line above the foot of its page.
      for (const page of pages) {
        const lines = page
          .split('\n')
          .map((line) => line.trim())
          .filter((line) => line !== '');
        const foot = lines.findIndex((line) => line.startsWith('These results support'));
        expect(lines[foot - 1]).not.toMatch(/^Table \d+\.|^(?:Pictures|The studies|Key messages|How often)$/);
      }
    },
    120_000,
  );
});

describe('npm run document on what cannot be used', () => {
  it('a folder with errors: the same lines as npm start, exit 1, nothing written', async () => {
    const broken = join(root, 'broken');
    cpSync(join(projectRoot, 'data-extraction/demo'), broken, { recursive: true });
    const events = readFileSync(join(broken, 'events.csv'), 'utf8').split('\n');
    events[1] = events[1]!.replace(/,\d+,/, ',twelve,');
    writeFileSync(join(broken, 'events.csv'), events.join('\n'));
    const { code, err, out } = await run(broken, '--out', join(root, 'never'));
    expect(code).toBe(1);
    expect(err).toMatch(/events\.csv:2:\d+ error: /);
    expect(err).toContain('Nothing was written.');
    expect(out).toBe('');
    expect(existsSync(join(root, 'never'))).toBe(false);
  });

  it('no folder, and a task of another command', async () => {
    expect(await run('data-extraction/nowhere')).toMatchObject({
      code: 1,
      err: 'there is no folder data-extraction/nowhere\n',
    });
    const other = await run('--check');
    expect(other.code).toBe(1);
    expect(other.err).toContain('takes a folder and --out');
  });
});
