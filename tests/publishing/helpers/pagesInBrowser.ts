import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findNotebooks } from '../../../src/publishing/findNotebooks.ts';
import { projectRoot } from './runScript.ts';

const chromiumPath = '/usr/bin/chromium';
const quiet =
  '--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync';
const names = ['index', 'trace', ...findNotebooks(join(projectRoot, 'notebooks')).map(({ name }) => name)];
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const present = existsSync(chromiumPath);
if (!present) process.stdout.write(`page tests in a browser skipped: there is no ${chromiumPath}\n`);

/**
 * Leaves on the page of all rows, out of the many rows and list entries of one make (the same elements with the same
 * attributes, filled or empty alike), the first two of each table or list: axe judges elements, and 13,000 of them are
 * most of its time here. That ids are not used twice and links lead somewhere is tested on every row elsewhere.
 */
async function oneRowOfEachMake(page: Page): Promise<void> {
  const [all, left] = await page.evaluate(() => {
    const count = () => document.querySelectorAll('*').length;
    const before = count();
    const makeOf = (element: Element): string =>
      element.outerHTML.replace(/\b(id|href)="[^"]+"/g, '$1="x"').replace(/>[^<]*[^\s<][^<]*(?=<)/g, '>x');
    for (const whole of document.querySelectorAll('tbody, ul')) {
      const seen = new Map<string, number>();
      for (const part of [...whole.children]) {
        const make = makeOf(part);
        const times = (seen.get(make) ?? 0) + 1;
        seen.set(make, times);
        if (times > 2) part.remove();
      }
    }
    return [before, count()] as const;
  });
  expect(left).toBeGreaterThan(200);
  expect(left).toBeLessThan(all);
}

/** What a browser makes of the pages of a run, in the folder `out` once the tests begin. */
export function pagesInBrowser(out: string): void {
  describe.skipIf(!present)('pages in Chromium, from file://', () => {
    let browser: Browser;
    beforeAll(async () => {
      browser = await chromium.launch({ executablePath: chromiumPath, args: quiet.split(' ') });
    }, 60_000);
    afterAll(async () => {
      await browser?.close();
    });

    /** Opens a page and keeps what it complains of and asks for. */
    async function open(name: string, width: number): Promise<{ page: Page; complaints: string[] }> {
      const page = await browser.newPage({ viewport: { width, height: 800 } });
      const complaints: string[] = [];
      page.on('console', (message) => complaints.push(message.text()));
      page.on('pageerror', (error) => complaints.push(String(error)));
      const address = pathToFileURL(join(out, `${name}.html`)).href;
      page.on('request', (request) => {
        if (request.url() !== address && !request.url().startsWith('data:')) complaints.push(request.url());
      });
      await page.goto(address);
      return { page, complaints };
    }

    it.each(names)(
      '%s: silent, asks for nothing, sets its own type, no violation found by axe',
      async (name) => {
        const { page, complaints } = await open(name, 1280);
        await page.evaluate('document.fonts.ready');
        expect(await page.evaluate('document.fonts.check("16px \'Source Sans 3\'")')).toBe(true);
        expect(await page.title()).not.toBe('taken');
        expect(complaints).toEqual([]);
        if (name === 'trace') await oneRowOfEachMake(page);
        await page.evaluate(axe);
        const found = await page.evaluate(
          'axe.run().then(({ violations }) => violations.map(({ id, nodes }) => id + ": " + nodes[0].html))',
        );
        expect(found).toEqual([]);
        await page.close();
      },
    );

    it.each(['index', 'cosmetic-deformity'])(
      '%s: dark where the reader prefers it, figures on paper, no violation found by axe',
      async (name) => {
        const { page, complaints } = await open(name, 360);
        await page.emulateMedia({ colorScheme: 'dark' });
        const ground = () => page.evaluate('getComputedStyle(document.body).backgroundColor');
        expect(await ground()).toBe('rgb(21, 24, 29)');
        await page.evaluate(axe);
        const found = await page.evaluate(
          'axe.run().then(({ violations }) => violations.map(({ id, nodes }) => id + ": " + nodes[0].html))',
        );
        expect(found).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360);
        if (name === 'cosmetic-deformity')
          expect(
            await page.evaluate('getComputedStyle(document.querySelector("figure svg")).backgroundColor'),
          ).toBe('rgb(255, 255, 255)');
        await page.emulateMedia({ colorScheme: 'dark', media: 'print' });
        expect(await ground()).toBe('rgb(255, 255, 255)');
        expect(complaints).toEqual([]);
        await page.close();
      },
    );

    it.each(names)('%s: 360 pixels wide, the page itself does not scroll sideways', async (name) => {
      const { page, complaints } = await open(name, 360);
      const widest = await page.evaluate('document.documentElement.scrollWidth');
      expect(widest).toBeLessThanOrEqual(360);
      expect(complaints).toEqual([]);
      await page.close();
    });

    it('prints without the contents list, the code and the downloads', async () => {
      const { page } = await open('cosmetic-deformity', 1280);
      await page.emulateMedia({ media: 'print' });
      for (const hidden of ['nav', 'details.source', '.downloads', 'figure .narrow']) {
        expect(await page.locator(hidden).first().isVisible(), hidden).toBe(false);
      }
      expect(await page.locator('figure .wide').first().isVisible()).toBe(true);
      await page.close();
    });
  });
}
