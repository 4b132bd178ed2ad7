// From row to result and back, over two notebooks of the demo, against counts read from the CSV file by hand.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { parse } from 'csv-parse/sync';
import { parseHTML } from 'linkedom';
import { beforeAll, describe, expect, it } from 'vitest';
import { readReviewFolder } from '../../src/extraction/readReviewFolder.ts';
import type { Review } from '../../src/extraction/review.ts';
import type { TraceIndex } from '../../src/extraction/trace/traceIndex.ts';
import { traceOf } from '../../src/extraction/trace/traceOf.ts';
import { factsOfReview } from '../../src/publishing/factsOfReview.ts';
import { findNotebooks } from '../../src/publishing/findNotebooks.ts';
import { htmlPage } from '../../src/publishing/htmlPage.ts';
import { jsonPage } from '../../src/publishing/jsonPage.ts';
import type { NotebookRun } from '../../src/publishing/notebookRun.ts';
import { runNotebooks } from '../../src/publishing/runNotebooks.ts';
import { traceOfRuns } from '../../src/publishing/traceOfRuns.ts';
import { tracePage } from '../../src/publishing/tracePage.ts';
import { readRowName, traceText } from '../../src/publishing/traceText.ts';
import { projectRoot } from './helpers/runScript.ts';

const demo = join(projectRoot, 'data-extraction', 'demo');
let review: Review;
let runs: readonly NotebookRun[] = [];
let index: TraceIndex;

beforeAll(async () => {
  const reading = await readReviewFolder(demo);
  if (reading.review === undefined) throw new Error('the demo cannot be read');
  review = reading.review;
  const two = findNotebooks(join(projectRoot, 'notebooks')).filter(({ name }) =>
    ['cosmetic-deformity', 'overview-by-site'].includes(name),
  );
  expect(two.map(({ url }) => url.startsWith(pathToFileURL('/').href))).toEqual([true, true]);
  const made = await runNotebooks(two, review, factsOfReview(review, 'data-extraction/demo'));
  expect(made.failures).toEqual([]);
  runs = made.runs;
  index = traceOfRuns(review, runs);
}, 60_000);

interface EventLine {
  readonly line: number;
  readonly row: Readonly<Record<string, string>>;
}

/** Rows of events.csv with the line each starts at, as an editor counts: a quoted cell may span lines. */
function eventLines(): readonly EventLine[] {
  const text = readFileSync(join(demo, 'events.csv'), 'utf8');
  const records = parse(text, { columns: true, raw: true }) as unknown as readonly {
    readonly raw: string;
    readonly record: Readonly<Record<string, string>>;
  }[];
  let line = 2;
  return records.map(({ raw, record }) => {
    const start = line;
    line += raw.replace(/\n$/, '').split('\n').length;
    return { line: start, row: record };
  });
}

describe('from row to result', () => {
  it('has every row of events.csv, fed into an output or with the reason it is not', () => {
    const rows = index.rows.filter(({ row }) => row.file === 'events.csv');
    expect(rows.map(({ row }) => row.line)).toEqual(eventLines().map(({ line }) => line));
    for (const { row, feeds, idle } of rows) {
      expect(feeds.length > 0 || (idle ?? '').length > 10, `line ${row.line}`).toBe(true);
      expect(feeds.length > 0 && idle !== undefined, `line ${row.line}`).toBe(false);
    }
    // Of the demo's rows on deformity, those of the second report of one cohort and those by patients are left out.
    const deformity = rows.filter(({ outcome }) => outcome === 'cosmetic-deformity');
    expect(deformity.filter(({ idle }) => idle !== undefined).map(({ idle }) => idle?.slice(0, 9))).toEqual(
      deformity.filter(({ feeds }) => feeds.length === 0).map(() => 'Left out:'),
    );
  });

  it('gives for a pooled rate exactly the lines of its arms, as read from the file', () => {
    const pools = runs
      .find(({ name }) => name === 'cosmetic-deformity')
      ?.outputs.flatMap(({ output }) =>
        output.kind === 'result' && output.name === 'pools' ? [output.value] : [],
      )[0] as {
      sites: readonly { site: string; pool: object & { arms: readonly { study: string; arm: string }[] } }[];
    };
    const tenotomy = pools.sites.find(({ site }) => site === 'tenotomy')!.pool;
    // By hand: the rows on deformity of arms named tenotomy, looked at by an accepted assessor in an accepted way.
    const wanted = eventLines().filter(
      ({ row }) =>
        row.arm === 'tenotomy' &&
        row.outcome === 'cosmetic-deformity' &&
        ['visible bulge', 'change of contour'].includes(row.definition ?? '') &&
        ['blinded examiner', 'examiner', 'photograph panel'].includes(row.assessor ?? '') &&
        Number(row.follow_up_months) >= 12,
    );
    const traced = traceOf(tenotomy).rows.map(({ line }) => line);
    const inPool = wanted.filter(({ row }) =>
      tenotomy.arms.some(({ study, arm }) => study === row.study && arm === row.arm),
    );
    // At most one row an arm is used, so more accepted rows than arms would be told apart here.
    expect(inPool.length).toBeGreaterThanOrEqual(tenotomy.arms.length);
    expect(traced).toEqual(
      tenotomy.arms
        .map(({ study }) =>
          Math.max(...inPool.filter(({ row }) => row.study === study).map(({ line }) => line)),
        )
        .sort((a, b) => a - b),
    );
  });

  it('finds rows in every kind of result the two notebooks keep', () => {
    for (const run of runs)
      for (const { output } of run.outputs)
        if (output.kind === 'result') expect(output.trace.rows.length, output.name).toBeGreaterThan(0);
  });

  it('agrees with the result as written to JSON', () => {
    for (const run of runs) {
      const written = JSON.parse(jsonPage(run)) as {
        results: Record<string, unknown>;
        shown: readonly object[];
      };
      for (const { output } of run.outputs)
        if (output.kind === 'result') expect(traceOf(written.results[output.name])).toEqual(output.trace);
      expect(JSON.stringify(written.shown)).toContain('"rows":{"events.csv":[');
    }
  });

  it('says it in the terminal', () => {
    const [first, second, ...rest] = traceText(index, { file: 'events.csv', line: 2 });
    expect(first).toContain('events.csv:2  Norholt 2009; top-of-groove, cosmetic-deformity');
    expect(second).toMatch(/^ {2}feeds \d+ outputs:$/);
    expect(rest.join('\n')).toContain('cosmetic-deformity.html#figure-rates-by-site');
    expect(() => traceText(index, { file: 'events.csv', line: 1 })).toThrow('no row starts at line 1');
    expect(() => traceText(index, { file: 'event.csv', line: 2 })).toThrow('no rows of event.csv');
    expect(readRowName('events.csv:17')).toEqual({ file: 'events.csv', line: 17 });
    expect(readRowName('data-extraction/demo')).toBeUndefined();
  });
});

describe('the pages', () => {
  it('name the rows behind a figure, and do not repeat them', () => {
    const run = runs.find(({ name }) => name === 'cosmetic-deformity')!;
    const document = parseHTML(htmlPage(run, new Map())).document as unknown as Document;
    const behind = [...document.querySelectorAll('details.rows-behind')].map(
      ({ textContent }) => textContent ?? '',
    );
    expect(behind[0]).toMatch(/Rows behind this \w+ \(\d+\)/);
    expect(behind[0]).toContain('events.csv lines 2, ');
    expect(behind[0]).toContain('Norholt 2009: table 2 (2)');
    expect(behind.filter((text) => text.includes('Norholt 2009: table 2 (2)'))).toHaveLength(1);
    expect(behind.some((text) => text.includes('the rows told before'))).toBe(true);
  });

  it('have an anchor for every link of the index', () => {
    const page = parseHTML(tracePage(index, runs[0]!.facts)).document as unknown as Document;
    const anchors = new Set([...page.querySelectorAll('[id]')].map(({ id }) => id));
    for (const link of page.querySelectorAll('main a[href^="#"], nav a[href^="#"]'))
      expect(anchors.has(link.getAttribute('href')!.slice(1)), link.getAttribute('href')!).toBe(true);
    expect(anchors.size).toBe(page.querySelectorAll('[id]').length);
    expect(page.getElementById('events-2')?.textContent).toContain('Norholt 2009');
    const targets = new Set(
      runs.flatMap((run) => {
        const document = parseHTML(htmlPage(run, new Map())).document as unknown as Document;
        return [...document.querySelectorAll('[id]')].map(({ id }) => `${run.name}.html#${id}`);
      }),
    );
    for (const { href, kind } of index.outputs)
      if (kind !== 'result') expect(targets.has(href), href).toBe(true);
  });

  it('show hostile text as the characters it is made of', () => {
    const hostile = '<img src=x onerror=alert(1)>';
    const spoilt: TraceIndex = {
      ...index,
      outputs: index.outputs.map((output) => ({ ...output, title: hostile })),
      rows: index.rows.slice(0, 3).map((row) => ({ ...row, label: hostile, what: hostile })),
    };
    const page = parseHTML(tracePage(spoilt, runs[0]!.facts)).document as unknown as Document;
    expect(page.querySelectorAll('img, script')).toHaveLength(0);
    expect(page.body.textContent).toContain(hostile);
  });
});
