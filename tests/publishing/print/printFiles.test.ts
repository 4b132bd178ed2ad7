// Figures as files: fonts that are really inside, text that can be selected, sizes and resolutions as stated.
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Resvg } from '@resvg/resvg-js';
import * as fontkit from 'fontkit';
import { afterAll, describe, expect, it } from 'vitest';
import { readReviewFolder } from '../../../src/extraction/readReviewFolder.ts';
import { type DrawnFigure, drawPlanned } from '../../../src/publishing/print/drawPlanned.ts';
import { embedFonts } from '../../../src/publishing/print/embedFonts.ts';
import { figureFonts } from '../../../src/publishing/print/figureFonts.ts';
import { pdfFromSvg } from '../../../src/publishing/print/pdfFromSvg.ts';
import { charactersByFace, faceOfText, shownText } from '../../../src/publishing/print/pictureText.ts';
import { planFigures } from '../../../src/publishing/print/planFigures.ts';
import { pngResolution, pngWithResolution } from '../../../src/publishing/print/pngWithResolution.ts';
import { figureFontFiles, renderPng } from '../../../src/publishing/renderPng.ts';
import { parsePicture } from '../../figures/readPicture.ts';
import { projectRoot } from '../helpers/runScript.ts';

const { review } = await readReviewFolder(join(projectRoot, 'data-extraction/demo'));
if (review === undefined) throw new Error('the demo cannot be read');
const planned = planFigures(review);
const notice = 'Invented data: these studies do not exist.';
const drawn: readonly DrawnFigure[] = (['190mm', '90mm'] as const).flatMap((width) =>
  planned.flatMap((figure) => drawPlanned(figure, width, notice)),
);
const characters = charactersByFace(drawn.map(({ svg }) => svg));
const cuts = await figureFonts(characters, 'truetype');
const packed = await figureFonts(characters, 'woff2');
const made = new Date(Date.UTC(2026, 0, 1));
const named = (file: string): DrawnFigure => {
  const found = drawn.find((figure) => figure.file === file);
  if (found === undefined) throw new Error(`no figure ${file}`);
  return found;
};
/** One of every kind, at both widths. */
const samples = drawn.filter(
  ({ planned: { name }, width }, index) =>
    drawn.findIndex((other) => other.planned.name === name && other.width === width) === index,
);

const root = mkdtempSync(join(tmpdir(), 'tenosite-print-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
const has = (program: string): boolean => spawnSync(program, ['-v']).error === undefined;
const poppler = has('pdftotext') && has('pdftoppm');
if (!poppler) process.stdout.write('PDF rasters and text not compared: there is no pdftoppm or pdftotext\n');

describe('every figure of the demo, at both widths', () => {
  it('is as wide as asked, with text of 8 pt and lines of 0.5 pt or more', () => {
    expect(drawn.length).toBeGreaterThan(100);
    for (const { width, size } of drawn) {
      expect(size.width).toBe(Number.parseFloat(width));
      expect(size.smallestText).toBeGreaterThanOrEqual(8);
      expect(size.thinnestLine).toBeGreaterThanOrEqual(0.5);
    }
  });

  it('keeps to 225 mm or says by how much it does not', () => {
    for (const { size } of drawn)
      if (size.height > 225)
        expect(size.complaints).toEqual([expect.stringContaining(`${size.height.toFixed(0)} mm tall`)]);
      else expect(size.complaints).toEqual([]);
    // At two columns everything the demo has fits a page.
    expect(drawn.filter(({ width, size }) => width === '190mm' && size.height > 225)).toEqual([]);
  });

  it('has a file name and a title of its own within its width', () => {
    expect(new Set(drawn.map(({ file }) => file)).size).toBe(drawn.length);
    for (const width of ['90mm', '190mm']) {
      const titles = drawn.filter((figure) => figure.width === width).map((figure) => figure.planned.title);
      expect(new Set(titles).size).toBe(titles.length);
    }
  });

  it('a forest too tall for a page is cut by site, with every arm on exactly one of the parts', () => {
    const parts = drawn.filter(
      ({ file, width }) => file.startsWith('forest-cosmetic-deformity-') && width === '190mm',
    );
    expect(parts.map(({ planned: { file } }) => file)).toEqual(
      ['top-of-groove', 'suprapectoral', 'subpectoral', 'tenotomy', 'outside'].map(
        (site) => `forest-cosmetic-deformity-${site}`,
      ),
    );
    for (const { partOf } of parts)
      expect(partOf).toMatch(/would be \d+ mm tall at 190 mm; it is cut into 5/);
    const lines = (svg: string) => parsePicture(svg).querySelectorAll('g.study').length;
    const whole = planned.find(({ file }) => file === 'forest-cosmetic-deformity');
    expect(parts.reduce((sum, { svg }) => sum + lines(svg), 0)).toBe(
      lines(whole?.draw({ width: '190mm', idPrefix: 'whole' }) ?? ''),
    );
  });

  it('refuses a width that is not the one asked for', () => {
    const forest = planned.find(({ name }) => name === 'network')!;
    const wrong = { ...forest, draw: () => forest.draw({ width: '190mm', idPrefix: 'wrong' }) };
    expect(() => drawPlanned(wrong, '90mm', undefined)).toThrow('It is 190 mm wide, not 90.');
  });
});

describe('legends', () => {
  it('count what the figure draws and carry its method', () => {
    const { svg, planned: forest } = named('forest-cosmetic-deformity-tenotomy-190mm');
    const [, arms, studies, shoulders] =
      /(\d+)\sarms of (\d+)\sstudies, (\d+)\sshoulders/.exec(parsePicture(svg).textContent ?? '') ?? [];
    const legend = forest.legend.join(' ');
    expect(parsePicture(svg).querySelectorAll('g.study').length).toBe(Number(arms));
    expect(legend.replace(/\s/g, ' ')).toContain(`Tenotomy: ${studies} studies, `);
    expect(legend.replace(/\s/g, ' ')).toContain(`of ${shoulders} shoulders`);
    expect(legend).toContain('DerSimonian-Laird');
    expect(legend).toContain('Not a randomised comparison');
  });
});

describe('SVG with its font', () => {
  it('carries every character of every text, in the cut it is set in', () => {
    const embedded = embedFonts(named('overview-1-to-3-190mm').svg, packed, 'woff2');
    const rule =
      /@font-face\{font-family:"Source Sans 3";font-weight:(\d+);font-style:(\w+);src:url\(data:font\/woff2;base64,([^)]+)\)/g;
    const readable = new Map(
      [...embedded.matchAll(rule)].map(([, weight, style, data = '']) => {
        const font = fontkit.create(Buffer.from(data, 'base64'));
        expect(font.familyName).toMatch(/^Source Sans 3/);
        return [`${weight} ${style}`, new Set(font.characterSet)];
      }),
    );
    const names = { regular: '400 normal', italic: '400 italic', semibold: '600 normal', bold: '700 normal' };
    expect([...readable.keys()].sort()).toEqual(Object.values(names).sort());
    for (const { file, svg } of drawn)
      for (const text of parsePicture(svg).querySelectorAll('text')) {
        const face = faceOfText(text.getAttribute('font-weight'), text.getAttribute('font-style'));
        for (const character of shownText(text))
          if (!readable.get(names[face])?.has(character.codePointAt(0) ?? 0))
            throw new Error(`${file}: ${face} lacks ${character}`);
      }
  });

  it('adds less than 45 kB and leaves the picture as it was', () => {
    const { svg } = named('forest-cosmetic-deformity-tenotomy-90mm');
    const embedded = embedFonts(svg, packed, 'woff2');
    expect(embedded.length - svg.length).toBeLessThan(45_000);
    expect(embedded.replace(/\n<style>.*?<\/style>/s, '')).toBe(svg);
    // A notebook's own drawing may have neither title nor description.
    expect(embedFonts('<svg viewBox="0 0 1 1"><path d=""/></svg>', packed, 'woff2')).toMatch(
      /^<svg viewBox="0 0 1 1">\n<style>.*<\/style><path d=""\/><\/svg>$/s,
    );
    expect(() => embedFonts('<p>', packed, 'woff2')).toThrow('a picture starts with an <svg> tag');
  });
});

describe('PDF', () => {
  it.each(samples.map(({ file }) => file))(
    '%s: its own fonts inside, its size, no picture of pixels',
    async (file) => {
      const { svg, size } = named(file);
      const pdf = Buffer.from(await pdfFromSvg(svg, { fonts: cuts, made })).toString('latin1');
      const count = (pattern: RegExp) => [...pdf.matchAll(pattern)].length;
      const used = charactersByFace([svg]).size;
      expect(count(/\/FontFile2 \d+ 0 R/g)).toBe(used);
      expect(count(/\/Subtype \/Type0/g)).toBe(used);
      expect(count(/\/ToUnicode \d+ 0 R/g)).toBe(used);
      expect(count(/\/Subtype \/Type1\b/g)).toBe(0);
      expect(count(/\/Subtype \/Image/g)).toBe(0);
      const [, right, top] = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf) ?? [];
      expect(Math.abs((Number(right) / 72) * 25.4 - size.width)).toBeLessThan(0.001);
      expect(Math.abs((Number(top) / 72) * 25.4 - size.height)).toBeLessThan(0.001);
      expect(count(/\/Type \/Page\b/g)).toBe(1);
      expect(count(/\/Alt \(/g)).toBe(1);
    },
  );

  it('refuses what it would have to leave out', async () => {
    const { svg } = named('network-revision-90mm');
    for (const [piece, problem] of [
      ['<ellipse rx="2"/>', 'cannot write <ellipse> into a PDF; known are g, rect, circle, path, text'],
      ['<g transform="scale(2)"></g>', 'cannot write transform of <g> into a PDF'],
      ['<circle cx="a" cy="1" r="1"/>', '<circle> cx must be a number, received a'],
      ['<path d="M0,0H1" fill="url(#nowhere)"/>', 'cannot write the pattern nowhere into a PDF'],
      [
        '<text x="1" y="1" font-size="8" text-anchor="left">a</text>',
        'text-anchor must be start, middle or end',
      ],
    ] as const)
      await expect(
        pdfFromSvg(svg.replace('</svg>', `${piece}</svg>`), { fonts: cuts, made }),
        piece,
      ).rejects.toThrow(problem);
  });

  it.skipIf(!poppler)('says the words of the figure in pdftotext', async () => {
    for (const { file, svg } of samples) {
      const path = join(root, `${file}.pdf`);
      writeFileSync(path, await pdfFromSvg(svg, { fonts: cuts, made }));
      const said = execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' }).replace(
        /\s+/g,
        '',
      );
      for (const text of parsePicture(svg).querySelectorAll('text'))
        expect(said, file).toContain(shownText(text).replace(/\s+/g, ''));
    }
  });

  it.skipIf(!poppler)('looks as the PNG does, square by square of 2 mm', async () => {
    for (const { file, svg, planned: figure } of samples) {
      const { worst, mean } = differenceOfInk(svg, await pdfFromSvg(svg, { fonts: cuts, made }));
      // Two programs smooth edges differently: seen at most 0.097 in a square and 0.0125 on the mean, and 0.154 where
      // squares are all fine lines.
      expect(worst, file).toBeLessThan(figure.name === 'quality' ? 0.2 : 0.11);
      expect(mean, file).toBeLessThan(0.02);
    }
  });

  it.skipIf(!poppler)(
    'which a text on the wrong side of its anchor, or hatching left out, would not',
    async () => {
      const { svg: forest } = named('forest-groove-pain-top-of-groove-190mm');
      const { svg: overview } = named('overview-1-to-3-190mm');
      for (const [svg, wrong] of [
        [forest, forest.replace('text-anchor="end"', '')],
        [overview, overview.replace(/fill="url\(#[^"]*\)"/, 'fill="none"')],
        [
          forest,
          forest.replace(/<path class="notch"[^>]*>/, '').replace(/(class="bar"[^>]* width=")[\d.]+/, '$14'),
        ],
      ] as const) {
        expect(wrong).not.toBe(svg);
        const pdf = await pdfFromSvg(wrong, { fonts: cuts, made });
        expect(differenceOfInk(svg, pdf).worst).toBeGreaterThan(0.11);
      }
    },
  );
});

/** How much the darkness of a figure's squares differs between its PDF and its own PNG, both at 150 dpi. */
function differenceOfInk(svg: string, pdf: Uint8Array): { readonly worst: number; readonly mean: number } {
  const path = join(root, 'figure.pdf');
  writeFileSync(path, pdf);
  const other = rgbFromPpm(execFileSync('pdftoppm', ['-r', '150', path], { maxBuffer: 1 << 26 }));
  const own = new Resvg(svg, {
    fitTo: { mode: 'width', value: other.width },
    background: '#ffffff',
    font: { fontFiles: [...figureFontFiles()], loadSystemFonts: false, defaultFontFamily: 'Source Sans 3' },
  }).render();
  expect(Math.abs(own.height - other.height)).toBeLessThanOrEqual(1);
  const rows = Math.min(own.height, other.height);
  const cells = inkByCell(own.pixels, 4, own.width, rows);
  const others = inkByCell(other.pixels, 3, other.width, rows);
  const differences = cells.map((ink, at) => Math.abs(ink - others[at]!));
  return {
    worst: Math.max(...differences),
    mean: differences.reduce((sum, one) => sum + one, 0) / differences.length,
  };
}

/** Mean darkness, 0 to 1, of squares of 12 pixels: 2 mm at 150 dpi. */
function inkByCell(pixels: Uint8Array, bytes: number, width: number, height: number): readonly number[] {
  const side = 12;
  const across = Math.floor(width / side);
  const cells = new Array<number>(across * Math.floor(height / side)).fill(0);
  for (let y = 0; y < Math.floor(height / side) * side; y += 1)
    for (let x = 0; x < across * side; x += 1) {
      const at = bytes * (y * width + x);
      const dark = 1 - (pixels[at]! + pixels[at + 1]! + pixels[at + 2]!) / 765;
      cells[Math.floor(y / side) * across + Math.floor(x / side)]! += dark / (side * side);
    }
  return cells;
}

function rgbFromPpm(file: Buffer): { width: number; height: number; pixels: Uint8Array } {
  const [head = '', width, height] = /^P6\s+(\d+)\s+(\d+)\s+255\s/.exec(file.toString('latin1', 0, 40)) ?? [];
  return { width: Number(width), height: Number(height), pixels: file.subarray(head.length) };
}

describe('PNG', () => {
  // Widths in pixels of a column of 90 mm as journals print them (common practice, no source), and dots per metre
  // by definition: 1 inch is 25.4 mm.
  it.each([
    [300, 1063, 11811],
    [500, 1772, 19685],
    [1000, 3543, 39370],
  ])('90 mm at %i dpi: %i pixels, and the file says so', (dotsPerInch, width, perMetre) => {
    const { svg } = named('network-revision-90mm');
    const plain = renderPng(svg, { dotsPerInch });
    expect(pngResolution(plain)).toBeUndefined();
    const png = pngWithResolution(plain, dotsPerInch);
    expect(Buffer.from(png).readUInt32BE(16)).toBe(width);
    expect(pngResolution(png)).toBe(perMetre);
    expect(() => pngWithResolution(png, 300)).toThrow('states its resolution already');
  });

  it('the chunk is the one of the specification, check sum and all', () => {
    // 300 dpi: length 9, "pHYs", 11811 both ways, unit 1 (metre), check sum by Python's zlib.crc32.
    const png = pngWithResolution(renderPng(named('network-revision-90mm').svg, { dotsPerInch: 36 }), 300);
    expect(Buffer.from(png).subarray(33, 54).toString('hex')).toBe(
      '000000097048597300002e2300002e230178a53f76',
    );
    expect(() => pngWithResolution(Buffer.from('no'), 300)).toThrow('the bytes received are no PNG');
  });
});

describe('committed pictures', () => {
  it('are all within what the PDF writer knows', async () => {
    const folder = join(projectRoot, 'tests/figures/regression');
    const svgs = readdirSync(folder)
      .filter((file) => file.endsWith('-90mm.svg'))
      .map((file) => readFileSync(join(folder, file), 'utf8'));
    const fonts = await figureFonts(charactersByFace(svgs), 'truetype');
    for (const svg of svgs) expect((await pdfFromSvg(svg, { fonts, made })).length).toBeGreaterThan(5000);
  });
});
