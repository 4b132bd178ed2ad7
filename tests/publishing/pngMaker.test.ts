import { afterAll, describe, expect, it } from 'vitest';
import { layLightFonts } from '../../src/publishing/lightFonts.ts';
import { openPngMaker } from '../../src/publishing/pngMaker.ts';
import { figureFonts } from '../../src/publishing/print/figureFonts.ts';
import { renderPng } from '../../src/publishing/renderPng.ts';

/** A line of each cut the figures use, among them letters that kern and join. */
const picture = (name: string): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="40mm" viewBox="0 0 340 150" font-family="'Source Sans 3'">${[
    ['400', 'normal'],
    ['400', 'italic'],
    ['600', 'normal'],
    ['700', 'normal'],
  ]
    .map(
      ([weight, style], at) =>
        `<text x="5" y="${30 * at + 25}" font-size="15" font-weight="${weight}" font-style="${style}">${name}: AVATAR, office − 4.3 % (3.1 to 6.0)</text>`,
    )
    .join('')}</svg>`;

const light = layLightFonts();
afterAll(async () => (await light).remove());

describe('the fonts PNGs are drawn from', () => {
  it('light ones draw every cut to the last byte as the whole ones do', async () => {
    const { files, covers } = await light;
    const svg = picture('Nordvær “2014”, Ångeby – señor');
    expect(covers(svg)).toBe(true);
    expect(Buffer.from(renderPng(svg, { fontFiles: files })).equals(renderPng(svg))).toBe(true);
  });

  it('a letter the light ones lack sends the picture to the whole ones', async () => {
    const { files, covers } = await light;
    const svg = picture('Gőzhegy, Łódź');
    expect(covers(svg)).toBe(false);
    expect(Buffer.from(renderPng(svg, { fontFiles: files })).equals(renderPng(svg))).toBe(false);
  });

  it('a cut for files keeps the name that joins it to its family', async () => {
    // OpenType specification, name table: record 16 is the typographic family, 17 the style within it.
    const cuts = await figureFonts(new Map([['semibold', 'abc']]), 'truetype');
    expect(namesOf(cuts.get('semibold')!)).toMatchObject({ 16: 'Source Sans 3', 17: 'SemiBold' });
  });
});

describe('the PNG maker', () => {
  it('draws in other threads what renderPng draws here, and says why a picture cannot be drawn', async () => {
    const maker = openPngMaker();
    try {
      const pictures = [picture('Nordvær'), picture('Łódź')];
      const made = await Promise.all(pictures.map(maker.make));
      for (const [at, svg] of pictures.entries())
        expect(Buffer.from(made[at]!).equals(renderPng(svg, { dotsPerInch: 150 }))).toBe(true);
      await expect(maker.make('<svg width="10"/>')).rejects.toThrow(
        'could not be drawn as PNG: the picture must state its width in mm',
      );
      await expect(maker.make('<svg width="10mm"><g></svg>')).rejects.toThrow('could not be drawn as PNG');
      expect(maker.make(pictures[0]!)).toBe(maker.make(pictures[0]!));
    } finally {
      await maker.close();
    }
  });
});

/** Windows records of a font's table of names, by number. */
function namesOf(font: Uint8Array): Record<number, string> {
  const view = Buffer.from(font);
  const tables = Array.from({ length: view.readUInt16BE(4) }, (_, at) => 12 + 16 * at);
  const start = view.readUInt32BE(tables.find((at) => view.toString('latin1', at, at + 4) === 'name')! + 8);
  const texts = start + view.readUInt16BE(start + 4);
  const records = Array.from({ length: view.readUInt16BE(start + 2) }, (_, at) => start + 6 + 12 * at);
  return Object.fromEntries(
    records
      .filter((at) => view.readUInt16BE(at) === 3)
      .map((at) => {
        const from = texts + view.readUInt16BE(at + 10);
        const text = Buffer.from(view.subarray(from, from + view.readUInt16BE(at + 8)));
        return [view.readUInt16BE(at + 6), text.swap16().toString('utf16le')];
      }),
  );
}
