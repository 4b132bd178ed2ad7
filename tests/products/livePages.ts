import { existsSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';
import type { AnswerRecord } from '../../src/answers/answersFile.ts';
import { readHtml } from './readHtml.ts';
import type { ReadProduct } from './readProduct.ts';

const path = '/usr/bin/chromium';
const quiet =
  '--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking';

/** The live page in Chromium, as the protocol has it: every outcome in every view, read as it stands on the screen. */
export async function livePages(
  file: string,
  answers: readonly AnswerRecord[],
): Promise<readonly ReadProduct[]> {
  if (!existsSync(path)) {
    process.stdout.write(`the live page is not read back: there is no ${path}\n`);
    return [];
  }
  const outcomes = [
    ...new Set(answers.flatMap(({ question }) => (question.kind === 'rate' ? [question.outcome] : []))),
  ];
  const browser = await chromium.launch({ executablePath: path, args: quiet.split(' ') });
  try {
    const read: ReadProduct[] = [];
    const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
    for (const outcome of outcomes) {
      await page.goto(`${pathToFileURL(file).href}#v=1&outcome=${outcome}`);
      await page.reload();
      await page.waitForSelector('main[data-drawn=yes]', { timeout: 30_000 });
      const views = await page.$$eval('button[id^="view-"], [role=tab][id^="view-"], a[id^="view-"]', (all) =>
        all.map(({ id }) => id),
      );
      for (const view of views) {
        await page.click(`#${view}`);
        await page.waitForSelector('main[data-drawn=yes]', { timeout: 30_000 });
        await page.waitForTimeout(50);
        read.push(readHtml(`live.html ${outcome} ${view}`, await page.content()));
      }
    }
    return read;
  } finally {
    await browser.close();
  }
}
