import { describe, expect, it } from 'vitest';
import { pictures } from './pictures.ts';
import { markBoxes, overlap, parsePicture, shownText, textBoxes } from './readPicture.ts';

// Journals' common floor: text of 8 pt and lines of 0.5 pt at the printed size (common practice, no source).
const smallestText = 8;
const thinnestLine = 0.5;

describe.each(Object.entries(pictures))('%s', (name, draw) => {
  const svg = draw();
  const root = parsePicture(svg);
  const [, , width = 0, height = 0] = (root.getAttribute('viewBox') ?? '').split(' ').map(Number);

  it('states its size on paper: one unit is one point', () => {
    const millimetres = name.endsWith('-90mm') ? 90 : 190;
    expect(root.getAttribute('width')).toBe(`${millimetres}mm`);
    expect(Math.abs(width - (millimetres * 72) / 25.4)).toBeLessThan(0.001);
    const tall = Number(/^([\d.]+)mm$/.exec(root.getAttribute('height') ?? '')?.[1]);
    expect(Math.abs(tall - (height * 25.4) / 72)).toBeLessThan(0.001);
  });

  it('has no text under 8 pt and no line under 0.5 pt', () => {
    const sizes = textBoxes(root).map(({ size }) => size);
    // A quality picture of nothing has five texts: its title, notice, what is missing and the caution.
    expect(sizes.length).toBeGreaterThan(name.startsWith('quality-nothing') ? 4 : 5);
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(smallestText);
    const lines = [...root.querySelectorAll('[stroke]')].map((element) =>
      Number(element.getAttribute('stroke-width')),
    );
    expect(Math.min(...lines)).toBeGreaterThanOrEqual(thinnestLine);
  });

  it('keeps every text within the page and clear of every other', () => {
    const boxes = textBoxes(root);
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

  it('keeps marks within the page and off the text', () => {
    const marks = markBoxes(root);
    const texts = textBoxes(root);
    for (const mark of marks) {
      expect(mark.left, mark.what).toBeGreaterThanOrEqual(0);
      expect(mark.right, mark.what).toBeLessThanOrEqual(width);
      expect(mark.bottom, mark.what).toBeLessThanOrEqual(height);
    }
    const clashes = marks.flatMap((mark) =>
      texts.filter((text) => overlap(mark, text)).map((text) => `${mark.what} | ${text.what}`),
    );
    expect(clashes).toEqual([]);
  });

  it('says in words what it shows, and carries its notice and caution', () => {
    expect(root.getAttribute('role')).toBe('img');
    const ids = (root.getAttribute('aria-labelledby') ?? '').split(' ');
    expect(ids.map((id) => root.querySelector(`#${id}`)?.localName)).toEqual(['title', 'desc']);
    expect(root.querySelector('title')?.textContent?.length).toBeGreaterThan(5);
    const printed = [...root.querySelectorAll('text')].map(shownText).join(' ');
    expect(printed).toContain('INVENTED DATA');
    expect(printed).toContain('Supports and does not replace licensed judgement and local guidance.');
  });

  it('rounds to three decimals and repeats no id', () => {
    expect(svg.replace(/<(title|desc|text)[^>]*>[^<]*/g, '')).not.toMatch(
      /\d\.\d{4,}|NaN|Infinity|undefined/,
    );
    const ids = [...svg.matchAll(/ id="([^"]*)"/g)].map((match) => match[1]);
    expect(new Set(ids).size).toBe(ids.length);
    for (const [, target] of svg.matchAll(/url\(#([^)]*)\)/g)) expect(ids).toContain(target);
  });
});
