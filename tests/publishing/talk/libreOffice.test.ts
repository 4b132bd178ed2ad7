// A talk opened by another program: one page a slide, every word on it, nothing cut off or pushed into the foot.
// Needs soffice, pdftotext and a face as wide as Arial; skips with a clear line without one of them.
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { slideTextWidth } from '../../../src/figures/slideText.ts';
import { layOutTalk } from '../../../src/publishing/talk/layOutTalk.ts';
import type { Placed } from '../../../src/publishing/talk/placed.ts';
import { pptxOfTalk } from '../../../src/publishing/talk/pptxOfTalk.ts';
import { talkOfReview } from '../../../src/publishing/talk/talkOfReview.ts';
import { whyNoArialWidths } from '../helpers/arialWidths.ts';
import { demoReview, nastyReview } from './reviews.ts';

const missing = ['soffice', 'pdftotext'].filter((program) => spawnSync('which', [program]).status !== 0);
const why = missing.length > 0 ? `${missing.join(' and ')} not installed` : whyNoArialWidths();
const here = why === undefined;
if (!here) process.stdout.write(`talk in LibreOffice skipped: ${why}\n`);

interface Word {
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

describe.skipIf(!here)(here ? 'opened in LibreOffice' : `opened in LibreOffice (skipped: ${why})`, () => {
  const talks = {
    demo: talkOfReview(demoReview(), { claim: 'Tenotomy deforms twice as often as subpectoral tenodesis' }),
    hostile: talkOfReview(nastyReview(), { outcome: 'groove-pain' }),
  };
  const folder = here ? mkdtempSync(join(tmpdir(), 'talk-')) : '';
  const pages = new Map<string, readonly (readonly Word[])[]>();
  beforeAll(async () => {
    const files: string[] = [];
    for (const [name, talk] of Object.entries(talks)) {
      const file = join(folder, `${name}.pptx`);
      writeFileSync(file, await pptxOfTalk(talk));
      files.push(file);
    }
    execFileSync(
      'soffice',
      [
        `-env:UserInstallation=file://${folder}/profile`,
        '--headless',
        '--convert-to',
        'pdf',
        '--outdir',
        folder,
        ...files,
      ],
      { stdio: 'ignore', timeout: 50_000 },
    );
    for (const name of Object.keys(talks)) {
      const text = execFileSync('pdftotext', ['-bbox', join(folder, `${name}.pdf`), '-'], {
        encoding: 'utf8',
      });
      pages.set(
        name,
        text
          .split('<page ')
          .slice(1)
          .map((page) =>
            [
              ...page.matchAll(
                /<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">([^<]*)<\/word>/g,
              ),
            ].map(([, left, top, right, bottom, word]) => ({
              text: word!,
              left: Number(left),
              top: Number(top),
              right: Number(right),
              bottom: Number(bottom),
            })),
          ),
      );
    }
  }, 60_000);
  afterAll(() => {
    if (folder !== '') rmSync(folder, { recursive: true, force: true });
  });

  it.each(Object.keys(talks) as (keyof typeof talks)[])(
    '%s: one page a slide, every text within its box',
    (name) => {
      const slides = layOutTalk(talks[name]);
      expect(pages.get(name)).toHaveLength(slides.length);
      for (const [at, slide] of slides.entries()) {
        const words = pages.get(name)![at]!;
        expect(words.length, slide.id).toBeGreaterThan(10);
        for (const word of words) {
          expect(word.left, `${slide.id}: ${word.text}`).toBeGreaterThanOrEqual(0);
          expect(word.right, `${slide.id}: ${word.text}`).toBeLessThanOrEqual(960);
          // Each word lies in a box of the layout: a line more than was measured would leave it.
          const inside = slide.placed.some((placed) => holds(placed, word));
          expect(inside, `${slide.id}: "${word.text}" at ${word.left}, ${word.top}`).toBe(true);
        }
      }
    },
  );

  it('measures text no narrower than the program sets it', () => {
    for (const page of pages.get('demo')!)
      for (const { text, left, right, top, bottom } of page) {
        if (!/^[A-Za-z]{6,}$/.test(text)) continue;
        const size = (bottom - top) / 1.117; // ascent and descent of Liberation Sans: 0.905 + 0.212
        expect(right - left, text).toBeLessThanOrEqual(slideTextWidth(text, size, true) * 1.02 + 0.5);
      }
  });
});

/** Half a line of grace below: descenders reach under the box of the last line. */
function holds({ box }: Placed, { left, right, top, bottom }: Word): boolean {
  const grace = 6;
  return (
    left >= box.left - grace &&
    right <= box.left + box.width + grace &&
    top >= box.top - grace &&
    bottom <= box.top + box.height + grace
  );
}
