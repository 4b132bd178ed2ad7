import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { addressTests } from './inBrowser/addressTests.ts';
import { pooled, printed } from './inBrowser/byTheLibrary.ts';
import { controlsTests } from './inBrowser/controlsTests.ts';
import { exportTests } from './inBrowser/exportTests.ts';
import { folderTests } from './inBrowser/folderTests.ts';
import {
  answerOnPage,
  chromiumPresent,
  type LiveBrowser,
  liveBrowser,
  openControls,
} from './inBrowser/liveBrowser.ts';
import { peopleTests } from './inBrowser/peopleTests.ts';
import { steadinessTests } from './inBrowser/steadinessTests.ts';
import { watchTests } from './inBrowser/watchTests.ts';

if (!chromiumPresent) process.stdout.write('live page tests in a browser skipped: there is no chromium\n');

describe.skipIf(!chromiumPresent)('the live page, one file opened from disk', () => {
  let live: LiveBrowser;
  let shared: Page;
  let complaints: string[];
  beforeAll(async () => {
    live = await liveBrowser();
    ({ page: shared, complaints } = await live.open());
    await openControls(shared);
  }, 60_000);
  afterAll(async () => {
    expect(complaints, 'the shared page stayed silent and asked for nothing').toEqual([]);
    await live?.close();
  });

  it('is one file under 1.5 MB that forbids itself every request', () => {
    expect(Buffer.byteLength(live.html)).toBeLessThan(1_500_000);
    expect(live.html).toContain("default-src 'none'; script-src 'sha256-");
    expect(live.html).not.toMatch(/(?:src|href)="(?!data:)/);
    // The document in memory, and Node, stayed outside.
    expect(live.html).not.toMatch(/linkedom|__vite-browser-external/);
  });

  it('opens on the answer for the first outcome, within a second', async () => {
    expect(await answerOnPage(shared)).toEqual(printed(pooled('cosmetic-deformity')));
    expect(await shared.locator('h1').textContent()).toBe('Cosmetic deformity');
    expect(await shared.evaluate('document.fonts.check(\'16px "Source Sans 3"\')')).toBe(true);
    const { page } = await live.open();
    // On a machine busy with other things the clock counts those too; the page's own work is what it asked of a core.
    const session = await page.context().newCDPSession(page);
    await session.send('Performance.enable');
    const { metrics } = await session.send('Performance.getMetrics');
    const work = 1000 * metrics.find(({ name }) => name === 'ProcessTime')!.value;
    const clock = await page.evaluate(() => performance.now());
    expect(Math.min(clock, work), `${clock} ms by the clock, ${work} ms of work`).toBeLessThan(1000);
    await page.close();
  });

  controlsTests(() => shared);
  addressTests(
    () => live,
    () => shared,
  );
  peopleTests(() => shared);
  exportTests(() => shared);
  folderTests(() => live);
  steadinessTests(
    () => live,
    () => shared,
  );
  watchTests(() => live);
});
