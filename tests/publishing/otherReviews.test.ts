// Reviews that are not the demonstration, as they come: changed copies of it, an untouched template, rows that cannot be
// used. None of them may be stopped by what holds of the demonstration alone, and one page never takes the others along.
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';
import { parseHTML } from 'linkedom';
import { afterAll, describe, expect, it } from 'vitest';
import { notebooksApart } from './helpers/notebooksApart.ts';
import { projectRoot, runScript, start } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-others-'));
const apart = new Map<string, ReturnType<typeof notebooksApart>>();
afterAll(() => {
  for (const { remove } of apart.values()) remove();
  rmSync(root, { recursive: true, force: true });
});

type Row = Record<string, string>;
/** Changes the rows of one sheet of a folder. */
function changeSheet(folder: string, sheet: string, change: (rows: Row[]) => readonly Row[]): void {
  const path = join(folder, `${sheet}.csv`);
  const text = readFileSync(path, 'utf8');
  const rows: Row[] = parse(text, { columns: true });
  writeFileSync(
    path,
    stringify([...change(rows)], { header: true, columns: text.split('\n')[0]!.split(',') }),
  );
}

/** The demonstration under another name, changed. */
function changedDemo(name: string, change: (folder: string) => void): string {
  const folder = join(root, name);
  cpSync(join(projectRoot, 'data-extraction/demo'), folder, { recursive: true });
  change(folder);
  return folder;
}

/** Runs some notebooks on a folder: the exit code, what was said, and where the pages are. */
async function run(folder: string, ...notebooks: readonly string[]) {
  const key = notebooks.join(' ');
  if (!apart.has(key)) apart.set(key, notebooksApart(notebooks));
  const out = `${folder}-pages`;
  const companions = join(root, 'companions');
  const ended = await runScript('tests/publishing/helpers/startIn.ts', [
    apart.get(key)!.folder,
    companions,
    folder,
    '--out',
    out,
  ]);
  const page = (path: string) => (existsSync(join(out, path)) ? readFileSync(join(out, path), 'utf8') : '');
  return { ...ended, page };
}

/** What a page says of one of its headlines: holds, or not checked. */
function markOf(html: string, claim: string): string | undefined {
  const items = [...parseHTML(html).document.querySelectorAll('li')];
  const item = items.find(({ textContent }) => textContent?.includes(claim));
  return /^(?:Holds|Not checked)/.exec(item?.textContent?.trim() ?? '')?.[0];
}

describe('a copy of the demonstration that somebody has changed', () => {
  it('without the decisions on certainty: every page, exit 0, and claims about the demo are listed as not checked', async () => {
    const folder = changedDemo('undecided', (copy) => changeSheet(copy, 'certainty', () => []));
    const { code, err, page } = await run(folder, 'how-sure', 'evidence-tables');
    expect([code, /ClaimFailed/.test(err)]).toEqual([0, false]);
    const claim = 'People decided against a proposal at least once.';
    expect(markOf(page('how-sure.html'), claim)).toBe('Not checked');
    expect(page('evidence-tables.html')).not.toBe('');
  }, 60_000);

  it('without one study: likewise', async () => {
    const folder = changedDemo('one-less', (copy) => {
      for (const sheet of ['studies', 'arms', 'events', 'scores', 'judgements', 'printed'])
        changeSheet(copy, sheet, (rows) => rows.filter(({ study }) => study !== 'norholt-2009'));
    });
    const { code, err, page } = await run(folder, 'manuscript-text');
    expect([code, /ClaimFailed/.test(err)]).toEqual([0, false]);
    expect(page('manuscript-text.html')).not.toBe('');
  }, 60_000);

  it('with other cells of an extractor: likewise', async () => {
    const folder = changedDemo('other-extractor', (copy) =>
      changeSheet(join(copy, 'extractors/first'), 'studies', (rows) =>
        rows.map((row) => ({ ...row, country: 'Elsewhere' })),
      ),
    );
    const { code, err, page } = await run(folder, 'extraction-agreement');
    expect([code, /ClaimFailed/.test(err)]).toEqual([0, false]);
    expect(page('extraction-agreement.html')).not.toBe('');
  }, 60_000);

  it('of the demonstration as shipped they are checked, wherever it lies', async () => {
    const folder = changedDemo('same', () => undefined);
    const { code, page } = await run(folder, 'manuscript-text');
    expect(code).toBe(0);
    expect(markOf(page('manuscript-text.html'), 'The flow of the demo adds up.')).toBe('Holds');
  }, 60_000);
});

describe('an outcome none of whose rows can be used', () => {
  it('stops nothing; the page says what is missing', async () => {
    const folder = changedDemo('unusable', (copy) =>
      changeSheet(copy, 'events', (rows) =>
        rows.map((row) =>
          row.outcome === 'revision' ? { ...row, definition: 'words nobody agreed on' } : row,
        ),
      ),
    );
    const { code, err, page } = await run(folder, 'rare-events', 'revision');
    expect([code, /TypeError/.test(err)]).toEqual([0, false]);
    expect(page('revision.html')).not.toBe('');
    const { document } = parseHTML(page('rare-events.html'));
    expect(document.body.textContent).toContain('No row of events.csv can be used for this outcome');
    expect(document.body.textContent).toContain('words nobody agreed on');
  }, 60_000);
});

describe('three studies only', () => {
  it('whose network falls into parts: every page', async () => {
    const folder = changedDemo('three', (copy) => {
      const kept = readFileSync(join(copy, 'studies.csv'), 'utf8').split('\n').slice(1, 4);
      const names = new Set(kept.map((line) => line.split(',')[0]));
      for (const sheet of ['studies', 'arms', 'events', 'scores', 'judgements', 'printed'])
        changeSheet(copy, sheet, (rows) => rows.filter(({ study }) => names.has(study)));
    });
    const { code, err, page } = await run(folder, 'site-against-site');
    expect([code, /RangeError/.test(err)]).toEqual([0, false]);
    const tables = parseHTML(page('site-against-site.html')).document.querySelectorAll(
      '[id^="table-inlay-and-onlay-as-nodes-of-their-own"]',
    );
    expect(tables.length).toBeGreaterThan(1);
  }, 60_000);
});

describe('the order of the README on an untouched template', () => {
  it('copy, check, run: exit 0 each, and what is still to fill in', async () => {
    const folder = join(root, 'mine');
    cpSync(join(projectRoot, 'data-extraction/template'), folder, { recursive: true });
    const checked = await start('--check', folder);
    const { code, out, err, page } = await run(folder, 'manuscript-text', 'scores', 'rare-events');
    expect([checked.code, code, /ClaimFailed/.test(err)]).toEqual([0, 0, false]);
    expect(page('index.html')).not.toBe('');
    for (const said of [checked.out, out]) {
      expect(said).toContain(
        'Still to fill in: no row yet in studies.csv, arms.csv, events.csv or scores.csv.',
      );
      expect(said).toContain("protocol.json has the template's own words in title, question, population,");
    }
  }, 60_000);
});

describe('one page that stops', () => {
  it('is named at its place on the overview, the others are written, and the exit code is 1', async () => {
    const failing = notebooksApart(['revision']);
    apart.set('failing', failing);
    for (const name of ['throws', 'claims'])
      cpSync(
        join(projectRoot, `tests/publishing/fixtures/failing/${name}.ts`),
        join(failing.folder, `${name}.ts`),
      );
    for (const name of ['throws', 'claims']) {
      const path = join(failing.folder, `${name}.ts`);
      writeFileSync(path, readFileSync(path, 'utf8').replaceAll(/'(?:\.\.\/)+src\//g, "'../../../src/"));
    }
    const out = join(root, 'stopped');
    const ended = () =>
      runScript('tests/publishing/helpers/startIn.ts', [
        failing.folder,
        join(root, 'companions'),
        'data-extraction/demo',
        '--out',
        out,
      ]);
    const { code, err } = await ended();
    expect(code).toBe(1);
    expect([existsSync(join(out, 'revision.html')), existsSync(join(out, 'throws.html'))]).toEqual([
      true,
      false,
    ]);
    const cause = 'notebook throws stopped in cell 4 ("The cell that stops"), line 15: TypeError: ';
    expect(err).toContain(cause);
    const { document } = parseHTML(readFileSync(join(out, 'index.html'), 'utf8'));
    const places = [...document.querySelectorAll('.pages > li')].map(({ textContent }) => textContent ?? '');
    expect(places.filter((place) => place.includes('This page could not be made.'))).toHaveLength(2);
    expect(places.some((place) => place.includes(cause))).toBe(true);
    expect(places.some((place) => place.includes('claim does not hold: Two is more than three.'))).toBe(true);
  }, 60_000);
});
