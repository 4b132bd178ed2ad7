import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';
import { expect } from 'vitest';
import { buildLive } from '../../../../src/publishing/liveServer/buildLive.ts';
import { readSource } from '../../../../src/publishing/liveServer/readSource.ts';
import { demoFolder } from '../demo.ts';

const chromiumPath = '/usr/bin/chromium';
export const chromiumPresent = existsSync(chromiumPath);
const quiet =
  '--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync --js-flags=--expose-gc';
export const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** The page built once from the demo, one browser, and pages of it. */
export interface LiveBrowser {
  readonly html: string;
  readonly folder: string;
  readonly open: (options?: OpenOptions) => Promise<OpenedPage>;
  /** The same for any address. */
  readonly visit: (address: string, options?: OpenOptions) => Promise<OpenedPage>;
  readonly close: () => Promise<void>;
}

export interface OpenOptions extends BrowserContextOptions {
  readonly hash?: string;
  readonly width?: number;
}

export interface OpenedPage {
  readonly page: Page;
  /** Everything it complained of, and every address it asked for beside its own. */
  readonly complaints: string[];
}

export async function liveBrowser(): Promise<LiveBrowser> {
  const folder = mkdtempSync(join(tmpdir(), 'tenosite-live-'));
  const html = await buildLive(await readSource(demoFolder));
  const file = join(folder, 'live.html');
  writeFileSync(file, html);
  const browser: Browser = await chromium.launch({ executablePath: chromiumPath, args: quiet.split(' ') });
  const address = pathToFileURL(file).href;
  const visit = async (
    where: string,
    { width = 1280, ...options }: OpenOptions = {},
  ): Promise<OpenedPage> => {
    const page = await browser.newPage({ viewport: { width, height: 900 }, ...options });
    page.setDefaultTimeout(4000);
    const complaints: string[] = [];
    page.on('console', (message) => complaints.push(message.text()));
    page.on('pageerror', (error) => complaints.push(String(error)));
    page.on('request', (request) => {
      const asked = request.url();
      if (!asked.startsWith(address) && !/^(?:data|blob):/.test(asked)) complaints.push(asked);
    });
    await page.goto(where, { waitUntil: 'commit', timeout: 30_000 });
    await page.waitForSelector('main[data-drawn=yes]', { timeout: 30_000 });
    return { page, complaints };
  };
  return {
    html,
    folder,
    open: ({ hash = '', ...options } = {}) => visit(hash === '' ? address : `${address}#${hash}`, options),
    visit,
    async close() {
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Waits until the picture of the state shown has been drawn. */
export const drawn = async (page: Page): Promise<void> => {
  await page.waitForSelector('main[data-drawn=yes]');
};

/** The four rows of the answer as the page prints them. */
export const answerOnPage = (page: Page): Promise<readonly (readonly string[])[]> =>
  page.evaluate(() =>
    [...document.querySelectorAll('.answer tbody tr')].map((row) => [
      row.querySelector('th')!.textContent ?? '',
      row.querySelector('.rate strong')!.textContent ?? '',
      row.querySelector('.interval')!.textContent ?? '',
      row.querySelector('.next')!.textContent ?? '',
      row.querySelector('.basis')?.textContent ?? '',
    ]),
  );

/** The ways the page says it departs from the protocol. */
export const departuresOnPage = (page: Page): Promise<readonly string[]> =>
  page.locator('.departures li').allTextContents();

/** Opens every group of controls, so that a person could reach each. */
export const openControls = (page: Page): Promise<void> =>
  page.evaluate(() => {
    for (const group of document.querySelectorAll<HTMLDetailsElement>('details.group')) group.open = true;
  });

/** The shared page as after following a link; without one, as the protocol has it. */
export async function follow(page: Page, hash = ''): Promise<void> {
  await page.evaluate((wanted) => {
    location.hash = 'v=1&view=funnel';
    location.hash = wanted;
  }, hash);
  if (hash === '') {
    await page.waitForSelector('.departures:not(.departed)');
    await page.locator('h1', { hasText: 'Cosmetic deformity' }).waitFor();
    await page.waitForSelector('#view-rates[aria-current]');
  } else await expect.poll(() => page.evaluate(() => location.hash.slice(1))).toBe(hash);
  await drawn(page);
}
