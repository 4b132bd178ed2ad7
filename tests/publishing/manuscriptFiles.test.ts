// The files of npm run manuscript, from a review whose every text is hostile.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import JSZip from 'jszip';
import { parseHTML } from 'linkedom';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readReviewFolder } from '../../src/extraction/readReviewFolder.ts';
import { agreementOfFolder } from '../../src/publishing/manuscript/agreementOfFolder.ts';
import { manuscriptFiles, manuscriptOfReview } from '../../src/publishing/manuscript/manuscriptFiles.ts';
import { manuscriptResults } from '../../src/publishing/manuscript/manuscriptResults.ts';
import { hostileTexts, writeHostileReview } from './helpers/hostileReview.ts';
import { projectRoot } from './helpers/runScript.ts';

const root = mkdtempSync(join(tmpdir(), 'tenosite-manuscript-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
let files: ReadonlyMap<string, string | Uint8Array>;

beforeAll(async () => {
  writeHostileReview(join(root, 'review'));
  const { review } = await readReviewFolder(join(root, 'review'));
  const input = manuscriptResults(review!, { certainty: 'none' });
  const made = await manuscriptFiles(manuscriptOfReview(input, new Map()));
  files = new Map(made.map(({ path, content }) => [path, content]));
}, 60_000);

describe('files of a manuscript', () => {
  it('are a Word file with headings, figure and checklists, and the notice on every page', async () => {
    const zip = await JSZip.loadAsync(files.get('manuscript.docx') as Uint8Array);
    const body = (await zip.file('word/document.xml')?.async('string')) ?? '';
    for (const text of [
      'Eligibility criteria',
      'Study selection',
      'References',
      'For the author to supply',
      'Reporting checklist: PRISMA 2020',
    ])
      expect(body, text).toContain(text);
    expect(body).not.toMatch(/<script/i);
    expect(Object.keys(zip.files).some((name) => name.startsWith('word/media/'))).toBe(true);
    const headers = Object.keys(zip.files).filter((name) => /^word\/header\d*\.xml$/.test(name));
    expect(headers.length).toBeGreaterThan(0);
    for (const name of headers) expect(await zip.file(name)!.async('string')).toContain('Invented data');
  });

  it('are a page without anything the texts of the sheets made', () => {
    const document = parseHTML(files.get('manuscript.html') as string).document as unknown as Document;
    expect(document.querySelectorAll('script, iframe, img, b')).toHaveLength(0);
    for (const element of document.querySelectorAll('*'))
      for (const { name } of element.attributes) expect(name).not.toMatch(/^on/i);
    expect(document.body.textContent).toContain('<script>');
    expect(document.querySelectorAll('figure svg title')).toHaveLength(1);
  });

  it('are a checklist whose formulas are text', () => {
    expect(files.get('checklist.csv')).not.toMatch(/(^|,|\n)"?[=+@]/);
  });

  it('are every sentence with what it was written from', () => {
    const json = JSON.parse(files.get('manuscript.json') as string) as {
      paragraphs: readonly {
        sentences: readonly { item: string; sources: object; toSupply: readonly string[] }[];
      }[];
      checklist: readonly object[];
    };
    const sentences = json.paragraphs.flatMap((paragraph) => paragraph.sentences);
    expect(sentences.length).toBeGreaterThan(40);
    for (const { item, sources } of sentences) {
      expect(item).toMatch(/^\d+[a-f]?$/);
      expect(Object.keys(sources).sort()).toEqual(['protocol', 'results', 'rows']);
    }
    expect(json.checklist).toHaveLength(59);
    expect(JSON.stringify(json)).toContain(JSON.stringify(hostileTexts.label).slice(1, 8));
  });
});

describe('agreement of two extractors', () => {
  it('is read where there are two, and left out where there are none', () => {
    const agreement = agreementOfFolder(join(projectRoot, 'data-extraction/demo'));
    expect(agreement?.cellsCompared).toBeGreaterThan(1000);
    expect(agreementOfFolder(join(projectRoot, 'data-extraction/template'))).toBeUndefined();
  });
});
