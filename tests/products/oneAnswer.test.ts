// One answer to each question: every product of five reviews is made as a person makes it, read back, and held against
// answers.json. A headline is a value with its interval, outside folds and outside what says that it stands beside the
// answers (other methods, other choices, single studies, kinds of evidence next to each other).
//
// Here a sample of the products; `npm run test:long` (TENOSITE_LONG=1) makes every product of every review.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  checkCsv,
  checkJson,
  checkMarkdown,
  checkMarks,
  checkSlides,
  checkSummary,
  type Found,
} from './checks.ts';
import { livePages } from './livePages.ts';
import { type MadeProducts, makeProducts, type Product, products } from './makeProducts.ts';
import { readHtml } from './readHtml.ts';
import type { ReadProduct } from './readProduct.ts';
import { readSlides } from './readSlides.ts';
import { readWord } from './readWord.ts';
import { reviewsOfProof } from './reviewsOfProof.ts';

const long = process.env.TENOSITE_LONG === '1';
const sample: Readonly<Record<string, readonly Product[]>> = {
  demo: ['document'],
  'rare-events': ['pages', 'document', 'talk'],
  'three-studies': ['manuscript', 'changes', 'figures'],
};
const root = mkdtempSync(join(tmpdir(), 'tenosite-one-answer-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

for (const review of reviewsOfProof(root)) {
  const wanted = long ? products : sample[review.name];
  if (wanted === undefined) continue;
  describe(`${review.name}: ${wanted.join(', ')}`, () => {
    let made: MadeProducts;
    let read: readonly ReadProduct[] = [];
    const out = join(root, review.name);
    // The sample's reviews are made side by side, all of them one after the other.
    const making = long ? undefined : makeProducts(review, out, wanted);
    making?.catch(() => undefined);
    beforeAll(async () => {
      made = await (making ?? makeProducts(review, out, wanted));
      const ids = made.answers.map(({ id }) => id);
      // The answers of a picture of a slide stand in the notes of the slide; the live page is read in a browser.
      const of = (ending: string) =>
        made.files.filter(
          (path) => path.endsWith(ending) && path !== 'live.html' && !path.startsWith('talk/'),
        );
      read = [
        ...[...of('.html'), ...of('.svg')].map((path) => readHtml(path, made.text(path))),
        ...(await Promise.all(of('.docx').map((path) => readWord(path, made.bytes(path), ids)))),
        ...(wanted.includes('live') ? await livePages(join(out, 'live.html'), made.answers) : []),
      ];
    }, 600_000);
    const none: readonly Found[] = [];

    it('answers.json holds an answer to every question, each once', () => {
      const ids = made.answers.map(({ id }) => id);
      expect(ids.length).toBeGreaterThan(0);
      expect(new Set(ids).size).toBe(ids.length);
    });

    it('no headline of a page, a picture or a Word file stands without the id of its answer', () => {
      expect(
        read
          .filter(({ product }) => !product.endsWith('.docx'))
          .flatMap(({ product, bare }) => bare.map((each): Found => ({ product, ...each }))),
      ).toEqual(none);
    });

    it('every mark names an answer of answers.json and prints its number by the one rule', () => {
      expect(read.some(({ marked }) => marked.length > 0)).toBe(true);
      expect(read.flatMap((product) => checkMarks(product, made.answers))).toEqual(none);
    });

    it('Markdown and Word say the same headlines as the page of the same document', () => {
      expect(checkMarkdown(made, read)).toEqual(none);
    });

    it('every headline of a slide is of an answer that its notes name', async () => {
      for (const path of made.files.filter((each) => each.endsWith('.pptx')))
        expect(checkSlides(path, await readSlides(made.bytes(path)), made.answers)).toEqual(none);
    });

    it('CSV files and JSON files hold the stored numbers in full', () => {
      expect(checkCsv(made)).toEqual(none);
      expect(checkJson(made)).toEqual(none);
    });

    it.runIf(wanted.includes('pages'))(
      'the lines that npm start prints are the rates of answers.json',
      () => {
        expect(checkSummary(made)).toEqual(none);
      },
    );
  });
}
