import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { forestPlot } from '../../src/figures/forestPlot.ts';
import { poolBySite } from '../../src/pooling/poolBySite.ts';
import { renderPng } from '../../src/publishing/renderPng.ts';
import { runs } from '../helpers/runs.ts';
import { armsOf, nasty } from './inventedPools.ts';
import { overlap, parsePicture, shownText, textBoxes } from './readPicture.ts';

const allowed = new Set('svg title desc g path circle rect text defs pattern'.split(' '));
const elements = (root: Element): readonly string[] =>
  [root, ...root.querySelectorAll('*')].map(({ localName }) => localName);

describe('names from a spreadsheet stay text', () => {
  it('shows markup as it was typed', () => {
    for (const width of ['90mm', '190mm'] as const) {
      const svg = forestPlot(nasty.longNames, { width, title: '<b onclick="x">title</b>' });
      const root = parsePicture(svg);
      expect(elements(root).filter((name) => !allowed.has(name))).toEqual([]);
      expect(root.querySelectorAll('[onerror], [onclick]')).toHaveLength(0);
      expect(root.querySelector('title')?.textContent).toBe('<b onclick="x">title</b>');
      expect(root.textContent).toContain('<img src=x onerror="alert(1)"> & co');
      expect(svg).not.toContain('\u0000');
      expect(svg).not.toContain('\u202e');
    }
  });

  it('keeps the whole of a shortened name as its tooltip', () => {
    const root = parsePicture(forestPlot(nasty.longNames));
    const shortened = [...root.querySelectorAll('text.name')].filter((text) => shownText(text).endsWith('…'));
    expect(shortened.map((text) => text.querySelector('title')?.textContent)).toContain('W'.repeat(80));
  });

  it('survives any names: valid XML, no stray element, no overlap', () => {
    fc.assert(
      fc.property(
        fc.array(fc.string({ unit: 'binary', maxLength: 90 }), { minLength: 1, maxLength: 4 }),
        fc.constantFrom('90mm' as const, '190mm' as const),
        (names, width) => {
          const pools = poolBySite(armsOf(names.map((name, index) => [name, 'tenotomy', index, 20 + index])));
          const svg = forestPlot(pools, { width, title: names[0] ?? '' });
          const root = parsePicture(svg);
          expect(elements(root).filter((name) => !allowed.has(name))).toEqual([]);
          // The renderer reads strict XML and throws on anything else.
          expect(renderPng(svg, { dotsPerInch: 36 }).length).toBeGreaterThan(100);
          const boxes = textBoxes(root);
          for (const [index, box] of boxes.entries())
            expect(boxes.slice(index + 1).filter((other) => overlap(box, other))).toEqual([]);
        },
      ),
      { numRuns: runs(60), seed: 20261125 },
    );
  });
});
