// What pages and products say, on copies of the demo whose data make the careless sentence false.
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';
import { parseHTML } from 'linkedom';
import { afterAll, describe, expect, it } from 'vitest';
import { projectRoot, runScript } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-said-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

type Cells = Record<string, string>;

/** A copy of the demo under another title, with rows and protocol changed; the year before lies beside it. */
function copyOf(
  name: string,
  changes: {
    readonly sheets?: Readonly<Record<string, (row: Cells) => Cells | undefined>>;
    readonly protocol?: (protocol: Record<string, unknown>) => void;
  } = {},
): string {
  const folder = join(root, name, 'review');
  cpSync(join(projectRoot, 'data-extraction/demo'), folder, { recursive: true });
  rmSync(join(folder, 'extractors'), { recursive: true, force: true });
  cpSync(join(projectRoot, 'data-extraction/demo-2025'), join(root, name, 'demo-2025'), { recursive: true });
  for (const [file, change] of Object.entries(changes.sheets ?? {})) {
    const path = join(folder, file);
    const rows = parse(readFileSync(path), { columns: true }) as Cells[];
    const kept = rows.map((row) => change({ ...row })).filter((row) => row !== undefined);
    writeFileSync(path, stringify(kept, { header: true, columns: Object.keys(rows[0]!) }));
  }
  const path = join(folder, 'protocol.json');
  const protocol = JSON.parse(readFileSync(path, 'utf8'));
  protocol.title = 'A copy of the invented review';
  changes.protocol?.(protocol);
  writeFileSync(path, JSON.stringify(protocol, undefined, 2));
  return folder;
}

/** The words of a notebook's page, pictures included, with single spaces. */
async function pageOf(notebook: string, folder: string): Promise<Document> {
  const out = join(folder, '../out');
  const { code, err } = await runScript(`notebooks/${notebook}.ts`, [folder, '--out', out]);
  expect(err).not.toMatch(/Error|stopped/);
  expect(code).toBe(0);
  return parseHTML(readFileSync(join(out, `${notebook}.html`), 'utf8')).document as unknown as Document;
}
const words = (part: Document | Element | null | undefined): string =>
  ((part && 'body' in part ? part.body : part)?.textContent ?? '').replace(/\s+/g, ' ');
/** The definitions of one term at the foot of a page. */
const entry = (page: Document, term: string): readonly string[] =>
  [...page.querySelectorAll('dl > div')]
    .filter((part) => words(part.querySelector('dt')) === term)
    .flatMap((part) => [...part.querySelectorAll('dd')].map(words));

/** Runs a product's command and gives the Markdown it wrote. */
async function markdownOf(script: string, folder: string, within: string): Promise<string> {
  const out = join(folder, `../${within}-out`);
  const { code } = await runScript(script, [folder, '--out', out]);
  expect(code).toBe(0);
  const own = join(out, within);
  const file = readdirSync(own).find((name) => name.endsWith('.md') && !name.startsWith('checklist'));
  return readFileSync(join(own, file!), 'utf8').replace(/\s+/g, ' ').replaceAll('\\', '');
}

const windowAmended =
  'Amended between the last search of 30 June 2025 and that of 30 June 2026: Cosmetic deformity, earliest month counted: 12 (before: 24).';

describe('moderators', () => {
  it('does not say that differences outlast an adjustment that could not be made', async () => {
    const folder = copyOf('no-cuff', {
      sheets: { 'arms.csv': (row) => ({ ...row, cuff_repair_percent: 'NR' }) },
    });
    const text = words(await pageOf('moderators', folder));
    expect(text).not.toContain('stops differing once cuff repair is held equal');
    expect(text).toContain('For no pair could cuff repair be held equal');
  }, 60_000);
});

describe('rare events', () => {
  it('adds nothing where it says so: a site without an event has its exact interval', async () => {
    const folder = copyOf('no-revision', {
      // With an amount that is asked for, DerSimonian-Laird beside the quoted number says where it went.
      protocol: ({ analysis }) => {
        Object.assign(analysis as object, { rateScale: 'logit', zeroEvents: { addToEachCell: 0.5 } });
      },
      sheets: {
        'events.csv': (row) =>
          row.outcome === 'revision' && row.arm === 'tenotomy' ? { ...row, events: '0', percent: '' } : row,
        'certainty.csv': () => undefined,
        'printed.csv': () => undefined,
      },
    });
    const page = await pageOf('rare-events', folder);
    const text = words(page);
    expect(text).not.toContain('nothing is added to a nought');
    expect(text).not.toContain('two steps, as the protocol says');
    expect(text).toMatch(
      /Tenotomy: no event in [\d,]+ shoulders, so no model can be fitted and nothing is added; the exact interval/,
    );
    expect(text).toMatch(
      /Tenotomy: 0 events in [\d,]+ shoulders: quoted \(one series\) 0\.00 \(0\.00 to 0\.30\)/,
    );
    expect(text).toMatch(/DerSimonian-Laird \(0\.5 added in \d+ arms\) \d/);
    expect(text).toContain('DerSimonian-Laird (no arm with an event) no answer');
  }, 60_000);
});

describe('site against site', () => {
  it('does not go on about studies there are none of', async () => {
    const folder = copyOf('all-revised', {
      sheets: {
        'events.csv': (row) =>
          row.outcome === 'revision' && row.events === '0' ? { ...row, events: '1', percent: '' } : row,
        'certainty.csv': () => undefined,
        'printed.csv': () => undefined,
      },
    });
    const text = words(await pageOf('site-against-site', folder));
    expect(text).not.toMatch(/\b0 comparative studies/);
    expect(text).not.toContain('No pair: here');
    expect(text).not.toContain('through infinity');
    expect(text).toContain(
      'Every comparison within a study saw a revision at one of its two sites at least.',
    );
  }, 60_000);
});

describe('a review with an earlier version, without a registration, of unlike arms', () => {
  // The window changed since the year before; one subpectoral arm was followed for 120 months; one suprapectoral arm
  // does not report its patients; nothing says when the protocol was written.
  const folder = copyOf('amended', {
    sheets: {
      'events.csv': (row) =>
        row.study === 'quellmoor-2010' && row.arm === 'subpectoral'
          ? { ...row, follow_up_months: '120' }
          : row,
      'arms.csv': (row) =>
        row.study === 'quellmoor-2010' && row.arm === 'suprapectoral'
          ? { ...row, patients_enrolled: 'NR', patients_analysed: 'NR' }
          : row,
    },
  });
  const span = /followed for \d+ to 120 months are taken as one proportion/;
  const shared =
    /Shoulders are taken as independent, although two may be of one patient: \d+ of \d+ arms holds? more shoulders than patients \([\d,]+ of [\d,]+\); 1 does not report patients beside shoulders/;
  let page: Promise<Document> | undefined;
  const ratePage = () => (page ??= pageOf('cosmetic-deformity', folder));
  let document: Promise<string> | undefined;
  const evidence = () => (document ??= markdownOf('src/publishing/document.ts', folder, 'evidence'));
  let written: Promise<string> | undefined;
  const manuscript = () =>
    (written ??= markdownOf('src/publishing/manuscript/manuscript.ts', folder, 'manuscript'));

  it('lists the amendment under departures of a page, and no sensitivity analysis', async () => {
    expect(entry(await ratePage(), 'Departures from the protocol')).toEqual([windowAmended]);
    expect(entry(await ratePage(), 'Sensitivity analyses').join(' ')).toContain(
      'Mid-groove arms: split by half',
    );
  }, 120_000);

  it('lists it in the document', async () => {
    const text = await evidence();
    expect(text.slice(text.indexOf('Departures from the protocol'))).toContain(windowAmended);
  }, 120_000);

  it('lists it in the manuscript, which asks for date and reason', async () => {
    expect((await manuscript()).replaceAll('\u00a0', ' ')).toContain(windowAmended);
    expect(await manuscript()).toMatch(/These changes were made \[date and reason of each amendment/);
  }, 120_000);

  it('claims for no choice that it came before the results', async () => {
    expect(words(await ratePage())).not.toContain('before the results were seen');
    expect(words(await ratePage())).toContain('does not say when and where it was registered');
    const other = words(await pageOf('what-would-change-the-answer', folder));
    expect(other).not.toContain('before the results were seen');
  }, 120_000);

  it('says on the page, beside the rates, what they join', async () => {
    expect(words(await ratePage())).toMatch(span);
    expect(words(await ratePage())).toMatch(shared);
  }, 120_000);

  it('says so in the document', async () => {
    expect(await evidence()).toMatch(span);
    expect(await evidence()).toMatch(shared);
  }, 120_000);

  it('says so in the manuscript', async () => {
    expect(await manuscript()).toMatch(
      /followed for unlike or unknown times: .*\d+ to 120 months after subpectoral fixation/,
    );
    expect(await manuscript()).toMatch(
      /patients not reported beside shoulders in 1 of \d+ arms after suprapectoral fixation/,
    );
  }, 120_000);
});
