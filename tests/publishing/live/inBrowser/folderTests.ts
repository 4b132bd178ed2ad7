import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { formatProblem } from '../../../../src/extraction/problem.ts';
import { readReview } from '../../../../src/extraction/readReview.ts';
import { hostileTexts, writeHostileReview } from '../../helpers/hostileReview.ts';
import { demoFiles } from '../demo.ts';
import { folderOfSlips, kindOf } from './folderOfSlips.ts';
import { drawn, type LiveBrowser, type OpenedPage } from './liveBrowser.ts';

const give = (page: Page, files: Readonly<Record<string, string>>): Promise<void> =>
  page.setInputFiles(
    '#choose-files',
    Object.entries(files).map(([name, text]) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(text) })),
  );

/** Drops files as a folder dragged from the desktop would arrive, file by file. */
const drop = (page: Page, files: Readonly<Record<string, string>>): Promise<void> =>
  page.evaluate((given) => {
    const transfer = new DataTransfer();
    for (const [name, text] of Object.entries(given)) transfer.items.add(new File([text], name));
    document.dispatchEvent(
      new DragEvent('drop', { dataTransfer: transfer, bubbles: true, cancelable: true }),
    );
  }, files);

/** A reader's own folder: the same checks, the same messages, and nothing in it is ever taken for code. */
export function folderTests(live: () => LiveBrowser): void {
  let opened: OpenedPage;
  beforeAll(async () => {
    opened = await live().open();
  });
  afterAll(async () => {
    await opened.page.close();
  });

  it('a folder with forty kinds of error shows forty messages, word for word those of the check', async () => {
    const { page, complaints } = opened;
    const { problems } = readReview(folderOfSlips());
    const errors = problems.filter(({ severity }) => severity === 'error');
    expect(new Set(errors.map(kindOf)).size).toBeGreaterThanOrEqual(40);
    const folder = join(live().folder, 'slips');
    mkdirSync(folder);
    for (const [name, text] of Object.entries(folderOfSlips())) writeFileSync(join(folder, name), text);
    await page.setInputFiles('#choose-folder', folder);
    await page.waitForSelector('.checks.failed');
    expect(await page.locator('.checks.failed li.is-error').allTextContents()).toEqual(
      errors.map(formatProblem),
    );
    expect(await page.locator('.checks.failed h2').textContent()).toMatch(
      new RegExp(`^slips: ${errors.length} errors, `),
    );
    // The review that was there stays.
    expect(await page.locator('h1').textContent()).toBe('Cosmetic deformity');
    expect(complaints).toEqual([]);
  });

  it('a study named as markup stays a name, in every view; dropped files are read and go nowhere', async () => {
    const folder = join(live().folder, 'hostile');
    writeHostileReview(folder);
    const files = Object.fromEntries(
      readdirSync(folder)
        .filter((name) => /\.(?:csv|json)$/.test(name))
        .map((name) => [name, readFileSync(join(folder, name), 'utf8')]),
    );
    const { page, complaints } = opened;
    await drop(page, files);
    await expect.poll(() => page.title()).toContain('Review </title>');
    expect(await page.locator('.said').textContent()).toContain('stay in this page');
    for (const view of ['rates', 'forest', 'funnel', 'sites', 'change']) {
      await page.click(`#view-${view}`);
      await drawn(page);
    }
    await page.click('#leave-out-biggest');
    expect(await page.locator('.departures li').allTextContents()).toEqual([
      `Studies switched off: ${hostileTexts.label}.`,
    ]);
    expect(await page.locator('img').count()).toBe(0);
    expect(await page.locator('script').count()).toBe(2);
    expect(await page.title()).not.toBe('taken');
    expect(complaints).toEqual([]);
  });

  it('a review that counts nothing as events says so', async () => {
    const files = demoFiles();
    const protocol = JSON.parse(files['protocol.json']!);
    const scores = {
      ...protocol,
      outcomes: protocol.outcomes.filter(({ kind }: { kind: string }) => kind === 'score'),
    };
    const heading = files['events.csv']!.split('\n')[0]!;
    const { page } = opened;
    await give(page, {
      'studies.csv': files['studies.csv']!,
      'arms.csv': files['arms.csv']!,
      'protocol.json': JSON.stringify(scores),
      'events.csv': `${heading}\n`,
    });
    await page.getByText('This review counts no outcome as events').waitFor();
  });
}
