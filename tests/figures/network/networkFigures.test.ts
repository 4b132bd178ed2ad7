// Pictures as committed (UPDATE_FIGURES=1 rewrites them), legible, and true to the numbers they were made from.
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { ratioNumber } from '../../../src/figures/formatNumber.ts';
import { networkLayers } from '../../../src/figures/networkLayers.ts';
import { networkMap } from '../../../src/figures/networkMap.ts';
import { networkRanks } from '../../../src/figures/networkRanks.ts';
import { networkTransitivity } from '../../../src/figures/networkTransitivity.ts';
import { renderPng } from '../../../src/publishing/renderPng.ts';
import { overlap, parsePicture, shownText, textBoxes } from '../readPicture.ts';
import { layers, modifiers, network, networkPictures, notice, ranking } from './networkPictures.ts';

const folder = fileURLToPath(new URL('./regression/', import.meta.url));
const update = process.env.UPDATE_FIGURES === '1';

describe.each(Object.entries(networkPictures))('%s', (name, draw) => {
  const svg = draw();
  const root = parsePicture(svg);
  const [, , width = 0, height = 0] = (root.getAttribute('viewBox') ?? '').split(' ').map(Number);

  it('is as committed, and the same when drawn again', () => {
    const file = `${folder}${name}.svg`;
    const changed = `${folder}${name}-changed.svg`;
    if (update) writeFileSync(file, svg);
    const same = existsSync(file) && readFileSync(file, 'utf8') === svg;
    if (same) rmSync(changed, { force: true });
    else writeFileSync(changed, svg);
    expect(same, `${file} differs; the new picture is ${changed} (UPDATE_FIGURES=1 accepts it)`).toBe(true);
    expect(draw()).toBe(svg);
  });

  it('is legible: no text under 8 pt or off the page or on other text, no line under 0.5 pt', () => {
    const boxes = textBoxes(root);
    expect(Math.min(...boxes.map(({ size }) => size))).toBeGreaterThanOrEqual(8);
    for (const stroke of root.querySelectorAll('[stroke]'))
      expect(Number(stroke.getAttribute('stroke-width'))).toBeGreaterThanOrEqual(0.5);
    for (const box of boxes) {
      expect(box.left, box.what).toBeGreaterThanOrEqual(0);
      expect(box.right, box.what).toBeLessThanOrEqual(width);
      expect(box.top, box.what).toBeGreaterThanOrEqual(0);
      expect(box.bottom, box.what).toBeLessThanOrEqual(height);
    }
    const clashes = boxes.flatMap((box, index) =>
      boxes
        .slice(index + 1)
        .filter((other) => overlap(box, other))
        .map((other) => `${box.what} | ${other.what}`),
    );
    expect(clashes).toEqual([]);
  });

  it('says in words what it shows and carries notice and caution', () => {
    expect(root.getAttribute('role')).toBe('img');
    expect(root.querySelector('desc')?.textContent?.length).toBeGreaterThan(10);
    const printed = [...root.querySelectorAll('text')].map(shownText).join(' ');
    expect(printed).toContain(notice);
    expect(printed).toContain('Supports and does not replace licensed judgement and local guidance.');
    expect(svg.replace(/<(title|desc|text)[^>]*>[^<]*/g, '')).not.toMatch(
      /\d\.\d{4,}|NaN|Infinity|undefined/,
    );
  });
});

it('holds no picture that is no longer drawn', () => {
  const committed = readdirSync(folder).filter((file) => !file.endsWith('-changed.svg'));
  expect(committed.sort()).toEqual(
    Object.keys(networkPictures)
      .map((name) => `${name}.svg`)
      .sort(),
  );
});

describe('what is drawn is what was computed', () => {
  it('the map has a thread for each study of a comparison, and node areas by shoulders', () => {
    const root = parsePicture(networkMap(network));
    const threads = [...root.querySelectorAll('path.thread')];
    const studies = network.parts.flatMap((part) => part.studies);
    expect(threads).toHaveLength(
      studies.reduce((sum, { treatments: { length } }) => sum + (length * (length - 1)) / 2, 0),
    );
    // Three trials: two with two arms, one with three.
    expect(threads.filter((thread) => thread.getAttribute('stroke-dasharray') === null)).toHaveLength(5);
    const radii = [...root.querySelectorAll('circle.node')].map((node) => Number(node.getAttribute('r')));
    const shoulders = network.treatments.map((treatment) =>
      studies.reduce(
        (sum, study) =>
          sum +
          (study.treatments.includes(treatment)
            ? study.counts![study.treatments.indexOf(treatment)]!.total
            : 0),
        0,
      ),
    );
    const area = radii.map((radius, i) => radius ** 2 / shoulders[i]!);
    for (const each of area) expect(Math.abs(each / area[0]! - 1)).toBeLessThan(0.001);
  });

  it('rank bars are as high as their probabilities, and rows stand in the order asked for', () => {
    const root = parsePicture(networkRanks(ranking, { order: network.treatments }));
    const heights = [...root.querySelectorAll('g.rank-row')].map((row) =>
      [...row.querySelectorAll('rect.rank-bar')].map((bar) => Number(bar.getAttribute('height'))),
    );
    const expected = network.treatments.map((treatment) =>
      ranking.treatments.find((each) => each.treatment === treatment)!.probabilities.filter((p) => p > 0),
    );
    const unit = heights[0]!.reduce((a, b) => a + b, 0);
    for (const [i, row] of heights.entries())
      for (const [j, height] of row.entries())
        expect(Math.abs(height / unit - expected[i]![j]!)).toBeLessThan(0.001);
  });

  it('the transitivity panels have a ring for every value reported and count the others', () => {
    const root = parsePicture(networkTransitivity(modifiers));
    const told = modifiers.modifiers
      .flatMap(({ comparisons }) => comparisons)
      .reduce((sum, { reported }) => sum + reported, 0);
    expect(root.querySelectorAll('circle.modifier-study')).toHaveLength(told);
    const silent = [...root.querySelectorAll('text')]
      .map(shownText)
      .filter((text) => text.endsWith(' n/r'))
      .reduce((sum, text) => sum + Number.parseInt(text, 10), 0);
    const all = modifiers.modifiers
      .flatMap(({ comparisons }) => comparisons)
      .reduce((sum, { points }) => sum + points.length, 0);
    expect(silent).toBe(all - told);
  });

  it('survives names from a spreadsheet', () => {
    const names = Object.fromEntries(
      network.treatments.map((treatment, i) => [
        treatment,
        `<img src=x onerror="alert(${i})"> & ${'W'.repeat(60)}`,
      ]),
    );
    for (const width of ['90mm', '190mm'] as const)
      for (const svg of [
        networkMap(network, { width, names }),
        networkRanks(ranking, { width, names }),
        networkTransitivity(modifiers, { width, names }),
      ]) {
        const root = parsePicture(svg);
        expect(root.querySelectorAll('img, [onerror]')).toHaveLength(0);
        const pageWidth = Number((root.getAttribute('viewBox') ?? '').split(' ')[2]);
        for (const box of textBoxes(root)) {
          expect(box.left).toBeGreaterThanOrEqual(0);
          expect(box.right).toBeLessThanOrEqual(pageWidth);
        }
        expect(renderPng(svg, { dotsPerInch: 40 }).length).toBeGreaterThan(1000);
      }
  });

  it('refuses options it does not know', () => {
    expect(() => networkMap(network, { colour: 1 } as never)).toThrow("networkMap: unknown option 'colour'");
    expect(() => networkRanks(ranking, { colour: 1 } as never)).toThrow(
      "networkRanks: unknown option 'colour'",
    );
    expect(() => networkTransitivity(modifiers, { colour: 1 } as never)).toThrow(
      "networkTransitivity: unknown option 'colour'",
    );
  });
});

describe('the layer in bold', () => {
  it('is the one that answers, with the odds ratio as it is quoted', () => {
    const bold = [...parsePicture(networkLayers(layers)).querySelectorAll('text[font-weight="700"]')]
      .map(({ textContent }) => textContent ?? '')
      .filter((text) => /^[\d.<]+ \(/.test(text));
    const expected = layers.flatMap(({ answer }) => {
      const relative = answer?.quoted?.relative;
      if (relative === undefined || !/randomised/.test(answer!.body)) return [];
      const digits = (value: number) => ratioNumber(value);
      return [`${digits(relative.value)} (${digits(relative.lower)} to ${digits(relative.upper)})`];
    });
    expect(expected.length).toBeGreaterThan(0);
    expect(bold).toEqual(expected);
  });
});
