import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { pooled, printed } from './byTheLibrary.ts';
import { answerOnPage, departuresOnPage, follow, type LiveBrowser } from './liveBrowser.ts';

const hashOf = (page: Page): Promise<string> => page.evaluate(() => location.hash.slice(1));
const settledHash = async (page: Page, wanted: string): Promise<void> => {
  await expect.poll(() => hashOf(page)).toBe(wanted);
};

/** Links, undo, redo and the browser's own Back. */
export function addressTests(live: () => LiveBrowser, shared: () => Page): void {
  it('a link opens the same numbers, the same view and the same departures elsewhere', async () => {
    const page = shared();
    await follow(page);
    await page.click('#leave-out-biggest');
    await page.getByRole('button', { name: 'Only what was examined' }).click();
    await page.selectOption('#interval', 'hartung-knapp');
    await page.click('#view-forest');
    await settledHash(
      page,
      'v=1&view=forest&seen-by=blinded+examiner,examiner&interval=hartung-knapp&without=norholt-2009',
    );
    const answer = await answerOnPage(page);
    expect(answer).toEqual(
      printed(
        pooled(
          'cosmetic-deformity',
          { assessors: ['blinded examiner', 'examiner'] },
          { interval: 'hartung-knapp' },
          (study) => study !== 'norholt-2009',
        ),
      ),
    );
    const { page: other, complaints } = await live().open({ hash: await hashOf(page) });
    expect(await answerOnPage(other)).toEqual(answer);
    expect(await departuresOnPage(other)).toEqual(await departuresOnPage(page));
    expect(await departuresOnPage(other)).toEqual([
      'Assessors accepted: blinded examiner, examiner, where the protocol has blinded examiner, examiner, photograph panel.',
      'Studies switched off: Norholt 2009.',
      'Interval of the pooled rate: Hartung-Knapp, where the protocol has truncated Hartung-Knapp.',
    ]);
    expect(await other.locator('.view h2').textContent()).toBe('Every study, and the rate at each site');
    expect(complaints).toEqual([]);
    await other.close();
  });

  it('what an address asks in vain is said and ignored', async () => {
    const page = shared();
    await follow(page);
    await page.evaluate(() => {
      location.hash = 'v=1&spread=<img src=x onerror=alert(1)>&level=7';
    });
    await page.waitForSelector('.said li');
    expect(await page.locator('.said li').allTextContents()).toEqual([
      expect.stringMatching(/^spread is "(?:<|%3C)img/),
      'level is "7"; expected a number above 0.5 and below 1, such as "0.9". It was left as it was.',
    ]);
    expect(await answerOnPage(page)).toEqual(printed(pooled('cosmetic-deformity')));
  });

  it('undo, redo and Back walk through the same views, by button and by key', async () => {
    const page = shared();
    await follow(page);
    const levels = ['', '0.8', '0.9', '0.99'];
    const seen = [await answerOnPage(page)];
    /** The address settles before the next step, so that each step is one of the browser's own. */
    const expectLevel = async (at: number): Promise<void> => {
      await settledHash(page, at === 0 ? '' : `v=1&level=${levels[at]}`);
      expect(await answerOnPage(page)).toEqual(seen[at]);
    };
    for (const at of [1, 2, 3]) {
      await page.selectOption('#level', levels[at]!);
      seen.push(await answerOnPage(page));
      await expectLevel(at);
    }
    expect(await page.locator('#redo').isDisabled()).toBe(true);
    await page.click('#undo');
    await expectLevel(2);
    await page.locator('h1').focus();
    await page.keyboard.press('Control+z');
    await expectLevel(1);
    await page.keyboard.press('Control+Shift+z');
    await expectLevel(2);
    await page.keyboard.press('Control+y');
    await expectLevel(3);
    // Back returns to what was there before the last thing done, which was a redo.
    await page.goBack();
    await expectLevel(2);
    await page.click('#undo');
    await page.click('#back-to-protocol');
    expect(await answerOnPage(page)).toEqual(seen[0]);
    expect(await page.locator('.departures').textContent()).toContain('As the protocol has it');
  });
}
