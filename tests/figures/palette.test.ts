import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { pooledSites } from '../../src/extraction/site.ts';
import { contrastRatio, lightness, luminance } from '../../src/figures/contrast.ts';
import { palette, regionGreys, shareGreys, siteColours } from '../../src/figures/palette.ts';
import { pictures } from './pictures.ts';
import { parsePicture } from './readPicture.ts';

const pairs = <T>(items: readonly T[]): readonly (readonly [T, T])[] =>
  items.flatMap((item, index) => items.slice(index + 1).map((other) => [item, other] as const));

const linear = (colour: string): readonly number[] =>
  [1, 3, 5].map((start) => {
    const channel = Number.parseInt(colour.slice(start, start + 2), 16) / 255;
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  });
const times = (matrix: readonly (readonly number[])[], vector: readonly number[]): readonly number[] =>
  matrix.map((row) => row.reduce((sum, factor, index) => sum + factor * (vector[index] ?? 0), 0));
const toXyz = [
  [0.4124, 0.3576, 0.1805],
  [0.2126, 0.7152, 0.0722],
  [0.0193, 0.1192, 0.9505],
];
const lab = (rgb: readonly number[]): readonly number[] => {
  const [x = 0, y = 0, z = 0] = times(
    toXyz,
    rgb.map((channel) => Math.min(1, Math.max(0, channel))),
  ).map((value, index) => {
    const share = value / ([0.9505, 1, 1.089][index] ?? 1);
    return share > 0.008856 ? Math.cbrt(share) : 7.787 * share + 16 / 116;
  });
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
};
const distance = (a: readonly number[], b: readonly number[]): number =>
  Math.hypot(...a.map((value, index) => value - (b[index] ?? 0)));

// Machado, Oliveira and Fernandes 2009, IEEE Trans Vis Comput Graph 15:1291, severity 1.0 (from memory).
const sight = {
  usual: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  protanopia: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deuteranopia: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritanopia: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
} as const;

const sites = pooledSites.map((site) => siteColours[site]);

describe('contrast', () => {
  it('follows the definition: black on white 21, #767676 on white 4.54 (WCAG 2.2, published)', () => {
    expect(contrastRatio('#000000', '#ffffff')).toBe(21);
    expect(contrastRatio('#767676', '#ffffff').toFixed(2)).toBe('4.54');
    expect(() => luminance('red')).toThrow('colour must be #rrggbb, received red');
  });

  it('gives every text 4.5 to 1 on white, and points 3 to 1 on the darkest region', () => {
    for (const colour of [
      ...Object.values(siteColours),
      palette.ink,
      palette.quiet,
      palette.comparison,
      palette.notice,
    ])
      expect(contrastRatio(colour, palette.paper), colour).toBeGreaterThanOrEqual(4.5);
    for (const grey of regionGreys)
      expect(contrastRatio(palette.comparison, grey), grey).toBeGreaterThanOrEqual(3);
  });

  it('uses no colour for text or marks that is not in the palette', () => {
    const known = new Set<string>([
      ...Object.values(palette),
      ...Object.values(siteColours),
      ...regionGreys,
      ...shareGreys,
      'none',
    ]);
    for (const [name, draw] of Object.entries(pictures))
      for (const element of parsePicture(draw()).querySelectorAll('[fill], [stroke]'))
        for (const colour of [element.getAttribute('fill'), element.getAttribute('stroke')])
          if (colour !== null && !colour.startsWith('url('))
            expect(known.has(colour), `${name}: ${colour}`).toBe(true);
  });

  it('keeps grid lines out of the text: hairlines are the only colour under 3 to 1, regions aside', () => {
    for (const draw of Object.values(pictures))
      for (const text of parsePicture(draw()).querySelectorAll('text'))
        expect(contrastRatio(text.getAttribute('fill') ?? '', palette.paper)).toBeGreaterThanOrEqual(4.5);
  });
});

describe('the design sheet', () => {
  it('prints the colours as they are, with their contrast and lightness', () => {
    const sheet = readFileSync(new URL('../../docs/design.md', import.meta.url), 'utf8');
    for (const colour of [...Object.values(palette), ...Object.values(siteColours), ...regionGreys])
      expect(sheet).toContain(
        `| \`${colour}\` | ${contrastRatio(colour, palette.paper).toFixed(2)} | ${lightness(colour).toFixed(0)} |`,
      );
  });
});

describe('told apart', () => {
  it('on a grey printer: sites differ by at least 8 in lightness, neighbours among the regions by 4', () => {
    for (const [a, b] of pairs(sites))
      expect(Math.abs(lightness(a) - lightness(b))).toBeGreaterThanOrEqual(8);
    for (const [index, grey] of regionGreys.entries())
      if (index > 0) expect(lightness(regionGreys[index - 1]!) - lightness(grey)).toBeGreaterThanOrEqual(4);
  });

  it.each(Object.entries(sight))('with %s: sites differ by at least 12 (CIE 1976)', (_, matrix) => {
    for (const [a, b] of pairs(sites))
      expect(
        distance(lab(times(matrix, linear(a))), lab(times(matrix, linear(b)))),
        `${a} ${b}`,
      ).toBeGreaterThanOrEqual(12);
  });

  it('without colour: each site has its own glyph and its own point', () => {
    const overview = parsePicture(pictures['overview-190mm']!());
    const glyphs = [...overview.querySelectorAll('g.glyph')].slice(0, 4).map((glyph) => {
      const top = Number(/,(-?[\d.]+)/.exec(glyph.querySelector('path')?.getAttribute('d') ?? '')?.[1]);
      const dot = glyph.querySelector('circle');
      return dot === null ? 'cut' : (Number(dot.getAttribute('cy')) - top).toFixed(2);
    });
    expect(new Set(glyphs).size).toBe(4);
  });
});
