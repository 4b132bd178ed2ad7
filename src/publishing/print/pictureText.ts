import { parseHTML } from 'linkedom/worker';
import type { FontFace } from '../../figures/textWidth.ts';

/** The root of a picture, read from its text. */
export function readPicture(svg: string): Element {
  const root = parseHTML(`<!doctype html><html><body>${svg}</body></html>`).document.querySelector('svg');
  if (root === null) throw new TypeError(`a picture must be SVG, received ${svg.slice(0, 60)}`);
  return root as unknown as Element;
}

/** What a text element shows: its own words without the tooltip. */
export const shownText = (text: Element): string =>
  [...text.childNodes].map((node) => (node.nodeType === 3 ? (node.textContent ?? '') : '')).join('');

/** The cut a text element is set in, from its weight and style. */
export function faceOfText(weight: string | null | undefined, style: string | null | undefined): FontFace {
  if (weight === '700' && style !== 'italic') return 'bold';
  if (weight === '600' && style !== 'italic') return 'semibold';
  if (weight !== null && weight !== undefined && weight !== '400')
    throw new RangeError(`figures have no cut of weight ${weight} ${style ?? ''}`.trimEnd());
  return style === 'italic' ? 'italic' : 'regular';
}

const escapes = [
  ['&amp;', '&'],
  ['&lt;', '<'],
  ['&gt;', '>'],
  ['&quot;', '"'],
  ['&#39;', "'"],
] as const;

/** The characters each cut must have for these pictures, sorted. Read from the text itself, for speed. */
export function charactersByFace(svgs: Iterable<string>): ReadonlyMap<FontFace, string> {
  const used = new Map<FontFace, Set<string>>();
  for (const svg of svgs)
    for (const [, attributes = '', content = ''] of svg.matchAll(/<text([^>]*)>(.*?)<\/text>/gs)) {
      const face = faceOfText(
        / font-weight="([^"]*)"/.exec(attributes)?.[1],
        / font-style="([^"]*)"/.exec(attributes)?.[1],
      );
      const characters = used.get(face) ?? new Set<string>();
      used.set(face, characters);
      // Escapes add a few letters too many and what they stand for.
      for (const character of content.replace(/<title>.*?<\/title>/gs, '')) characters.add(character);
      for (const [escaped, plain] of escapes) if (content.includes(escaped)) characters.add(plain);
    }
  return new Map([...used].map(([face, characters]) => [face, [...characters].sort().join('')]));
}
