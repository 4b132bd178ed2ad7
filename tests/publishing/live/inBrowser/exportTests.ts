import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { forestPlot } from '../../../../src/figures/forestPlot.ts';
import { departuresOnRows } from '../../../../src/publishing/live/exports/departuresTravel.ts';
import { parseNotebook } from '../../../../src/publishing/notebookSource.ts';
import { noteOnRows } from '../../../../src/publishing/noteOnRows.ts';
import { inventedDataNotice } from '../../../../src/publishing/pageFacts.ts';
import { studiesTable } from '../../../../src/tables/studiesTable.ts';
import { tableToCsv } from '../../../../src/tables/tableToCsv.ts';
import { expectAllClose } from '../../../helpers/close.ts';
import { demo } from '../demo.ts';
import { pooled } from './byTheLibrary.ts';
import { follow } from './liveBrowser.ts';

async function download(page: Page, press: () => Promise<void>): Promise<{ name: string; bytes: Buffer }> {
  const [file] = await Promise.all([page.waitForEvent('download', { timeout: 20_000 }), press()]);
  return { name: file.suggestedFilename(), bytes: readFileSync(await file.path()) };
}

/** Whatever leaves the page is what the library makes of the same pools, and carries its notice. */
export function exportTests(shared: () => Page): void {
  it('SVG, PNG, CSV, notebook and words of a view', async () => {
    const page = shared();
    await follow(page, 'v=1&view=forest&level=0.8');
    const departure = 'Confidence of every interval: 80 %, where the protocol has 95 %.';
    const pools = pooled('cosmetic-deformity', {}, { level: 0.8 });
    const button = (name: string) => page.getByRole('button', { name }).first();

    const svg = await download(page, () => button('SVG of').click());
    expect(svg.name).toBe('cosmetic-deformity-each-study.svg');
    expect(svg.bytes.toString()).toBe(
      forestPlot(pools, {
        width: '190mm',
        idPrefix: 'each-study',
        notice: inventedDataNotice,
        title: 'Cosmetic deformity, per 100 shoulders',
        subtitle: `Not as the protocol has it. ${departure}`,
      }),
    );

    const png = await download(page, () => button('PNG of').click());
    // The size is in the first chunk (PNG specification, section 11.2.2): 190 mm at 300 dots per inch are 2,244.
    expect(png.bytes.subarray(1, 4).toString()).toBe('PNG');
    expect(png.bytes.readUInt32BE(16)).toBe(2244);
    expect(
      await page.evaluate(shareOfInk, `data:image/png;base64,${png.bytes.toString('base64')}`),
    ).toBeGreaterThan(0.01);

    await page.getByText('Arms, with where each was read').first().click();
    const csv = await download(page, () => button('CSV of Arms').click());
    const facts = {
      reviewTitle: demo.protocol.title,
      folder: '',
      question: '',
      inventedData: true,
      notice: undefined,
      lastSearch: '',
      dataFrom: undefined,
      tenositeVersion: '',
      nodeVersion: '',
    };
    const table = studiesTable(pools, {
      interval: demo.protocol.analysis.studyInterval,
      caption: 'Arms, with where each was read',
    });
    expectSameCsv(csv.bytes.toString(), tableToCsv(noteOnRows(departuresOnRows(table, [departure]), facts)));
    for (const part of [inventedDataNotice, departure]) expect(csv.bytes.toString()).toContain(part);

    const notebook = await download(page, () => button('Notebook of this view').click());
    expect(notebook.name).toBe('cosmetic-deformity-forest-view.ts');
    expect(parseNotebook(notebook.bytes.toString(), notebook.name).title).toBe(
      'Cosmetic deformity: each study',
    );

    await page.evaluate(() => {
      // No clipboard to ask from a test: the page's own second way is heard instead.
      document.addEventListener('copy', () => {
        document.body.dataset.copied =
          String(getSelection()) || (document.activeElement as HTMLTextAreaElement).value;
      });
      Object.defineProperty(navigator, 'clipboard', { value: undefined });
    });
    await button('Copy answer in words').click();
    await page.waitForSelector('body[data-copied]');
    const words = await page.evaluate('document.body.dataset.copied');
    for (const part of [
      inventedDataNotice,
      'Tenotomy: about 17 in 100: ',
      'Confidence of every interval: 80 %',
      'Not a randomised comparison',
      'licensed clinician',
    ])
      expect(words).toContain(part);
    // Where pictures cannot be copied they are saved, and the page says so.
    const copy = await download(page, () => button('Copy picture for a slide').click());
    expect(copy.name).toBe('cosmetic-deformity-picture.png');
    expect(await page.locator('.said').textContent()).toContain('saved as a file instead');
  });
}

/** The same words, and the same numbers to the last digit but one: engines differ in the last digit of a logarithm. */
function expectSameCsv(actual: string, expected: string): void {
  const number = /(?<=,|^)-?\d+\.\d+(?:e-?\d+)?(?=,|$)/gm;
  expect(actual.replace(number, '#')).toBe(expected.replace(number, '#'));
  expectAllClose(
    (actual.match(number) ?? []).map(Number),
    (expected.match(number) ?? []).map(Number),
    'identity',
  );
}

/** The share of pixels of a picture that are not white. Runs in the page. */
async function shareOfInk(address: string): Promise<number> {
  const image = new Image();
  image.src = address;
  await image.decode();
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(image.width / 8);
  canvas.height = Math.round(image.height / 8);
  const context = canvas.getContext('2d')!;
  context.drawImage(image, 0, 0, canvas.width, canvas.height);
  const { data } = context.getImageData(0, 0, canvas.width, canvas.height);
  let dark = 0;
  for (let at = 0; at < data.length; at += 4) if (data[at]! < 200) dark += 1;
  return dark / (data.length / 4);
}
