import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { studyQuality } from '../../../../src/certainty/quality/studyQuality.ts';
import { studyDesigns } from '../../../../src/extraction/sheets/studiesSheet.ts';
import type { SitePools } from '../../../../src/pooling/poolBySite.ts';
import { lowQualityStudies } from '../../../../src/robustness/choices/lowQualityStudies.ts';
import { demo } from '../demo.ts';
import { pooled, printed } from './byTheLibrary.ts';
import { answerOnPage, departuresOnPage, follow } from './liveBrowser.ts';

const choose = (id: string, value: string) => (page: Page) => page.selectOption(`#${id}`, value);
const press = (name: string) => (page: Page) => page.getByRole('button', { name }).first().click();
const tick = (label: RegExp, on: boolean) => (page: Page) => page.getByLabel(label).first().setChecked(on);
const low = lowQualityStudies(demo, 'cosmetic-deformity');
const careful = new Set(
  studyQuality(demo, 'cosmetic-deformity')
    .filter(({ concern }) => concern === 'low concern')
    .map(({ study }) => study),
);
const deformity = 'cosmetic-deformity';
const maximumLikelihood = { betweenStudyVariance: 'maximum-likelihood' } as const;

/** Each control: what a person does, and what the library says of the same choice. */
const controls: readonly (readonly [
  name: string,
  does: (page: Page) => Promise<unknown>,
  expected: () => SitePools,
])[] = [
  ['outcome', choose('outcome', 'revision'), () => pooled('revision')],
  [
    'only what was examined',
    press('Only what was examined'),
    () => pooled(deformity, { assessors: ['blinded examiner', 'examiner'] }),
  ],
  [
    'only what patients said, with the words patients use',
    press('Only what patients said'),
    () =>
      pooled(deformity, {
        assessors: ['patient'],
        definitions: ['visible bulge', 'change of contour', 'bulge noticed by the patient'],
      }),
  ],
  [
    'only those of low concern',
    choose('quality', 'low-concern'),
    () => pooled(deformity, {}, {}, (study) => careful.has(study)),
  ],
  [
    'assessor',
    tick(/^patient/, true),
    () =>
      pooled(deformity, {
        assessors: ['blinded examiner', 'examiner', 'photograph panel', 'patient'],
      }),
  ],
  [
    'order of assessors',
    press('Prefer examiner to blinded examiner'),
    () => pooled(deformity, { assessors: ['examiner', 'blinded examiner', 'photograph panel'] }),
  ],
  [
    'definition',
    tick(/^visible bulge/, false),
    () => pooled(deformity, { definitions: ['change of contour'] }),
  ],
  [
    'months',
    async (page) => {
      await page.fill('#months-from', '24');
      await page.press('#months-from', 'Enter');
      await page.locator('#months-to').focus();
    },
    () => pooled(deformity, { windowMonths: { minimum: 24, maximum: 120 } }),
  ],
  ['any time', tick(/^any time/, true), () => pooled(deformity, { windowMonths: null })],
  [
    'mid-groove',
    choose('mid-groove', 'with-top-of-groove'),
    () => pooled(deformity, { siteRule: { midGroove: 'with-top-of-groove' } }),
  ],
  [
    'same patients',
    choose('same-patients', 'primary-report'),
    () => pooled(deformity, { overlapRule: 'primary-report' }),
  ],
  [
    'designs',
    tick(/^case series/, false),
    () => pooled(deformity, { designs: studyDesigns.filter((design) => design !== 'case series') }),
  ],
  ['only trials', press('Only trials'), () => pooled(deformity, { designs: ['randomised trial'] })],
  ['quality', choose('quality', 'without-low'), () => pooled(deformity, {}, {}, (study) => !low.has(study))],
  ['one study', tick(/^Pontavel 2016/, false), () => pooled(deformity, {}, {}, (s) => s !== 'pontavel-2016')],
  [
    'the biggest series',
    press('Without the biggest series: Norholt 2009 (1,004)'),
    () => pooled(deformity, {}, {}, (study) => study !== 'norholt-2009'),
  ],
  ['scale', choose('scale', 'logit'), () => pooled(deformity, {}, { scale: 'logit' })],
  [
    'no events',
    // Arcsines need no addition, and the choice waits for a scale that does.
    async (page: Page) => {
      await choose('scale', 'logit')(page);
      await choose('no-events', '0.5')(page);
    },
    () => pooled(deformity, {}, { scale: 'logit', zeroEvents: { addToEachCell: 0.5 } }),
  ],
  ['model', choose('model', 'common-effect'), () => pooled(deformity, {}, { model: 'common-effect' })],
  [
    'spread',
    choose('spread', 'sidik-jonkman'),
    () => pooled(deformity, {}, { betweenStudyVariance: 'sidik-jonkman' }),
  ],
  [
    'interval',
    choose('interval', 'hartung-knapp'),
    () => pooled(deformity, {}, { interval: 'hartung-knapp' }),
  ],
  [
    'profile likelihood, once it can be had',
    async (page) => {
      expect(await page.locator('#interval option[value=profile-likelihood]').isDisabled()).toBe(true);
      expect(await page.locator('#interval-why').textContent()).toMatch(/maximum-likelihood method only/);
      await page.selectOption('#spread', 'maximum-likelihood');
      await page.selectOption('#interval', 'profile-likelihood');
    },
    () => pooled(deformity, {}, { ...maximumLikelihood, interval: 'profile-likelihood' }),
  ],
  [
    'next study',
    choose('next-study', 't-k-minus-1'),
    () => pooled(deformity, {}, { prediction: 't-k-minus-1' }),
  ],
  ['level', choose('level', '0.8'), () => pooled(deformity, {}, { level: 0.8 })],
];

/** Every control changed, and the page's numbers compared with the library called directly. */
export function controlsTests(shared: () => Page): void {
  it.each(controls)('%s: the page shows what the library says', async (_, does, expected) => {
    const page = shared();
    await follow(page);
    const before = await answerOnPage(page);
    await does(page);
    const wanted = printed(expected());
    expect(await answerOnPage(page)).toEqual(wanted);
    expect(await page.locator('#announcer').textContent()).toContain(
      `tenotomy ${wanted[3]![1]}. Not a comparison`,
    );
    // Whatever it was, it is undone in one click (the outcome, too).
    if (JSON.stringify(before) !== JSON.stringify(wanted) || (await departuresOnPage(page)).length > 0)
      while (await page.locator('#undo').isEnabled()) await page.locator('#undo').click();
    expect(await answerOnPage(page)).toEqual(before);
  });
}
