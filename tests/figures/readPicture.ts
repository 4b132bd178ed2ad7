// Reads a picture back as a reader of the file would: text boxes, marks and the axis, from the SVG alone.
import { parseHTML } from 'linkedom';
import { type FontFace, textWidth } from '../../src/figures/textWidth.ts';

export interface Box {
  readonly what: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export interface TextBox extends Box {
  readonly size: number;
  readonly className: string;
  readonly x: number;
}

export const parsePicture = (svg: string): Element => {
  const { document } = parseHTML(`<!doctype html><html><body>${svg}</body></html>`);
  const root = document.querySelector('svg');
  if (root === null) throw new Error('no svg element');
  return root as unknown as Element;
};

const number = (element: Element, name: string): number => Number(element.getAttribute(name));

/** What is shown: the text without its tooltip. */
export const shownText = (element: Element): string =>
  [...element.childNodes].map((node) => (node.nodeType === 3 ? (node.textContent ?? '') : '')).join('');

export function textBoxes(root: Element): readonly TextBox[] {
  return [...root.querySelectorAll('text')].map((element) => {
    const text = shownText(element);
    const size = number(element, 'font-size');
    const weight = element.getAttribute('font-weight');
    const face: FontFace =
      weight === '700'
        ? 'bold'
        : weight === '600'
          ? 'semibold'
          : element.getAttribute('font-style') === 'italic'
            ? 'italic'
            : 'regular';
    const width = textWidth(text, size, face);
    const x = number(element, 'x');
    const anchor = element.getAttribute('text-anchor');
    const left = anchor === 'end' ? x - width : anchor === 'middle' ? x - width / 2 : x;
    const baseline = number(element, 'y');
    return {
      what: text,
      className: element.getAttribute('class') ?? '',
      size,
      x,
      left,
      right: left + width,
      // Height of capitals and depth of descenders of Source Sans 3, in parts of the size.
      top: baseline - 0.7 * size,
      bottom: baseline + 0.22 * size,
    };
  });
}

/** Boxes of what is drawn with ink: discs, rings, bars, brackets, whiskers, points. */
export function markBoxes(root: Element): readonly Box[] {
  const circles = [...root.querySelectorAll('circle')].map((element): Box => {
    const [x, y, r] = [number(element, 'cx'), number(element, 'cy'), number(element, 'r')];
    return { what: `circle at ${x}`, left: x - r, right: x + r, top: y - r, bottom: y + r };
  });
  const bars = [...root.querySelectorAll('rect.bar')].map((element): Box => {
    const [x, y] = [number(element, 'x'), number(element, 'y')];
    return {
      what: `bar at ${x}`,
      left: x,
      right: x + number(element, 'width'),
      top: y,
      bottom: y + number(element, 'height'),
    };
  });
  const paths = [...root.querySelectorAll('path.whisker, path.bracket, path.triangle')].map(
    (element): Box => {
      const d = element.getAttribute('d') ?? '';
      const xs = [...d.matchAll(/[MLH](-?[\d.]+)/g)].map((match) => Number(match[1]));
      const ys = [...d.matchAll(/[ML]-?[\d.]+,(-?[\d.]+)|V(-?[\d.]+)/g)].map((match) =>
        Number(match[1] ?? match[2]),
      );
      return {
        what: `${element.getAttribute('class')} ${d}`,
        left: Math.min(...xs),
        right: Math.max(...xs),
        top: Math.min(...ys) - 0.4,
        bottom: Math.max(...ys) + 0.4,
      };
    },
  );
  return [...circles, ...bars, ...paths];
}

export const overlap = (a: Box, b: Box): boolean =>
  a.left < b.right - 0.05 && b.left < a.right - 0.05 && a.top < b.bottom - 0.05 && b.top < a.bottom - 0.05;

/** Reads a value off the bottom axis by its printed ticks; `transform` is what the axis is even in. */
export function readAxis(root: Element, transform: (value: number) => number): (x: number) => number {
  const ticks = textBoxes(root)
    .filter(({ className }) => className === 'tick')
    .map(({ x, what }) => ({ x, value: transform(Number(what.replace('\u2212', '-'))) }));
  const first = ticks[0];
  const last = ticks.at(-1);
  if (first === undefined || last === undefined || first === last) throw new Error('too few ticks');
  return (x) => first.value + ((x - first.x) / (last.x - first.x)) * (last.value - first.value);
}
