import { readFileSync } from 'node:fs';
import { Resvg } from '@resvg/resvg-js';
import { describe, expect, it } from 'vitest';
import { truncateText, wrapText } from '../../src/figures/fitText.ts';
import { type FontFace, fontFaces, textWidth } from '../../src/figures/textWidth.ts';
import { figureFontFiles, renderPng } from '../../src/publishing/renderPng.ts';
import { makeTextWidthTable } from './makeTextWidthTable.ts';
import { pictures } from './pictures.ts';

const style: Readonly<Record<FontFace, string>> = {
  regular: '',
  italic: 'font-style="italic"',
  semibold: 'font-weight="600"',
  bold: 'font-weight="700"',
};

/** Width of the ink as the renderer lays it out: another program, reading the same font. */
function inkWidth(text: string, size: number, face: FontFace): number {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="4000" height="200"><text x="10" y="100" font-family="Source Sans 3" font-size="${size}" ${style[face]}>${text}</text></svg>`;
  return new Resvg(svg, {
    font: { fontFiles: [...figureFontFiles()], loadSystemFonts: false, defaultFontFamily: 'Source Sans 3' },
  }).innerBBox()!.width;
}

describe('text widths', () => {
  it('are those of the font files', () => {
    const committed = readFileSync(new URL('../../src/figures/textWidthTable.ts', import.meta.url), 'utf8');
    expect(makeTextWidthTable()).toBe(committed);
  });

  it.each(fontFaces)('agree with the renderer for %s within 2 %% and are never smaller', (face) => {
    for (const text of [
      'Studies differ: between-study spread 0.61 (95 % interval 0.30 to 1.20)',
      'Norholt 2014, Øresund Ærø Łódź',
      '0123456789 – 12.3 / 456',
      'fewer after tenodesis → αβγ Дж',
    ]) {
      const ours = textWidth(text, 40, face);
      const ink = inkWidth(text, 40, face);
      // Ink leaves out the side bearings of the first and last letter, some 5 units of 40.
      expect(ours, text).toBeGreaterThan(ink - 0.5);
      expect(ours - ink, text).toBeLessThan(0.02 * ours + 5);
    }
  });

  it('shortens and breaks within the room given', () => {
    const name = 'The Combined Harbour Hospitals of Upper and Lower Mirefield';
    const short = truncateText(name, 80, 8);
    expect(textWidth(short, 8)).toBeLessThanOrEqual(80);
    expect(short.endsWith('…')).toBe(true);
    expect(truncateText('Norholt', 80, 8)).toBe('Norholt');
    expect(truncateText('Norholt', 1, 8)).toBe('…');
    const lines = wrapText(`${name} ${'W'.repeat(60)}`, 90, 8);
    for (const line of lines) expect(textWidth(line, 8)).toBeLessThanOrEqual(90);
    expect(lines.slice(0, -1).join(' ')).toBe(name);
    expect(wrapText('', 90, 8)).toEqual([]);
  });
});

describe('PNG', () => {
  // Width in pixels at 300 dots per inch as printed in journals' guides: 90 mm 1063, 190 mm 2244.
  it.each([
    ['forest-odds-ratio-90mm', 1063],
    ['forest-odds-ratio-190mm', 2244],
  ])('%s is %i pixels wide at 300 dots per inch', (name, pixels) => {
    const svg = pictures[name]!();
    const png = Buffer.from(renderPng(svg));
    expect(png.subarray(1, 4).toString('latin1')).toBe('PNG');
    expect(png.readUInt32BE(16)).toBe(pixels);
    const [, , width = 1, height = 0] = (/viewBox="([^"]*)"/.exec(svg)?.[1] ?? '').split(' ').map(Number);
    expect(Math.abs(png.readUInt32BE(20) - (pixels * height) / width)).toBeLessThanOrEqual(1);
  });

  it('refuses what it cannot size', () => {
    expect(() => renderPng('<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"/>')).toThrow(
      'must state its width in mm',
    );
    expect(() => renderPng(pictures['overview-90mm']!(), { dotsPerInch: 5 })).toThrow(
      'dotsPerInch must be from 36 to 1200, received 5',
    );
  });
});
