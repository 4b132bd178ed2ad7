import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { liveViews } from '../../../../src/publishing/live/state/liveState.ts';
import { clinicalCaution, inventedDataWarning } from '../../../../src/publishing/pageFacts.ts';
import { pooled, printed } from './byTheLibrary.ts';
import { answerOnPage, axe, drawn, follow } from './liveBrowser.ts';

const violations = async (page: Page, rules: readonly string[]): Promise<readonly string[]> => {
  await page.evaluate(axe);
  const only = rules.length === 0 ? '' : JSON.stringify({ runOnly: rules });
  return page.evaluate(
    `axe.run(${only}).then(({ violations }) => violations.map(({ id, nodes }) => id + ": " + nodes[0].html))`,
  );
};

/** Tabs to an element and says whether the way there was always in sight. */
async function tabTo(page: Page, selector: string): Promise<void> {
  for (let presses = 0; presses < 120; presses += 1) {
    await page.keyboard.press('Tab');
    const here = await page.evaluate(
      (wanted) => ({
        there: document.activeElement?.matches(wanted) === true,
        outlined: getComputedStyle(document.activeElement!).outlineStyle !== 'none',
      }),
      selector,
    );
    expect(here.outlined, `focus is in sight on the way to ${selector}`).toBe(true);
    if (here.there) return;
  }
  throw new Error(`${selector} cannot be reached by the Tab key`);
}

/** People: no mouse, a small screen, paper, the night, a screen reader. */
export function peopleTests(shared: () => Page): void {
  it('with the keyboard alone: leave out the biggest series and count only examined deformity', async () => {
    const page = shared();
    await follow(page);
    await page.locator('.skip').focus();
    await tabTo(page, 'div.shortcuts button');
    await page.keyboard.press('Enter');
    await tabTo(page, '#leave-out-biggest');
    await page.keyboard.press('Space');
    const answer = printed(
      pooled(
        'cosmetic-deformity',
        { assessors: ['blinded examiner', 'examiner'] },
        {},
        (study) => study !== 'norholt-2009',
      ),
    );
    expect(await answerOnPage(page)).toEqual(answer);
    // What was heard is the answer; focus stayed on the button.
    expect(await page.locator('#announcer').textContent()).toContain(`top of groove ${answer[0]![1]},`);
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('leave-out-biggest');
    await page.setViewportSize({ width: 1280, height: 900 });
    await page.emulateMedia({ media: null, colorScheme: null });
  });

  it('the search box finds a study by its name and by its site', async () => {
    const page = shared();
    await follow(page);
    const found = () =>
      page.evaluate(() =>
        [...document.querySelectorAll<HTMLElement>('.studies li')]
          .filter((row) => !row.hidden)
          .map((row) => row.querySelector('label')!.firstChild!.textContent),
      );
    const all = await found();
    expect(all[0]).toBe('Norholt 2009');
    expect(await page.locator('#studies-on').textContent()).toBe(
      `${all.length} of ${all.length} studies count.`,
    );
    await page.fill('#find-study', 'pontavel');
    expect(await found()).toEqual(['Pontavel 2016']);
    await page.fill('#find-study', 'soft tissue');
    expect(await found()).toEqual(['Galdara 2019']);
    await page.fill('#find-study', '');
    expect(await found()).toEqual(all);
  });

  // The night changes colours and nothing else.
  it.each([
    ['light', []],
    ['dark', ['color-contrast']],
  ] as const)('%s: no violation found by axe, in any view', async (colorScheme, rules) => {
    const page = shared();
    await follow(page);
    await page.emulateMedia({ colorScheme });
    for (const view of liveViews) {
      await page.click(`#view-${view}`);
      if (view === 'claim') await page.fill('#claim', '0 of 40, under 5 %');
      await drawn(page);
      for (const text of [inventedDataWarning, clinicalCaution])
        expect(await page.getByText(text).isVisible(), `${view}: ${text}`).toBe(true);
      expect(await violations(page, rules), view).toEqual([]);
    }
    await page.setViewportSize({ width: 1280, height: 900 });
    await page.emulateMedia({ media: null, colorScheme: null });
  });

  it('360 pixels wide, no view scrolls sideways and every figure is the narrow one', async () => {
    const page = shared();
    await page.setViewportSize({ width: 360, height: 800 });
    await follow(page, 'v=1&claim=0+of+40');
    for (const view of liveViews) {
      await page.click(`#view-${view}`);
      await drawn(page);
      expect(await page.evaluate('document.documentElement.scrollWidth'), view).toBeLessThanOrEqual(360);
      expect(await page.locator('.panel-190mm').count(), view).toBe(0);
    }
    await page.setViewportSize({ width: 1280, height: 900 });
    await page.emulateMedia({ media: null, colorScheme: null });
  });

  it('prints the answer, the departures, the view and the caution, and nothing to press', async () => {
    const page = shared();
    await follow(page, 'v=1&level=0.8');
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    for (const kept of ['.answer', '.departures li', 'figure svg', '.invented', '.about .caution'])
      expect(await page.locator(kept).first().isVisible(), kept).toBe(true);
    for (const hidden of ['.controls', '.views', '.tools', '.take', '.folder'])
      expect(await page.locator(hidden).first().isVisible(), hidden).toBe(false);
    expect(await page.evaluate('getComputedStyle(document.body).backgroundColor')).toBe('rgb(255, 255, 255)');
    await page.setViewportSize({ width: 1280, height: 900 });
    await page.emulateMedia({ media: null, colorScheme: null });
  });
}
