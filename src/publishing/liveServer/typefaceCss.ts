import { type FontFace, fontFaces } from '../../figures/textWidth.ts';
import { figureFonts } from '../print/figureFonts.ts';

/** How a style sheet names each cut of the typeface. */
const cuts: Readonly<Record<FontFace, string>> = {
  regular: 'font-weight:400;font-style:normal',
  italic: 'font-weight:400;font-style:italic',
  semibold: 'font-weight:600;font-style:normal',
  bold: 'font-weight:700;font-style:normal',
};

/** Characters a page keeps: Latin with its accents, Greek letters of the trade, dashes, quotes, arrows, signs. */
const ranges = [
  [0x20, 0x7e],
  [0xa0, 0x17f],
  [0x391, 0x3c9],
  [0x2010, 0x2026],
  [0x2030, 0x203a],
  [0x2070, 0x209c],
  [0x20ac, 0x20ac],
  [0x2122, 0x2122],
  [0x2190, 0x2193],
  [0x2212, 0x2212],
  [0x2248, 0x2265],
] as const;
const characters = ranges
  .flatMap(([first, last]) =>
    Array.from({ length: last - first + 1 }, (_, at) => String.fromCodePoint(first + at)),
  )
  .join('');

/**
 * `@font-face` rules with the typeface inside (Source Sans 3, SIL Open Font License 1.1), cut down to the characters a
 * page uses. A character outside them is shown in a typeface of the reader's own machine.
 */
export async function typefaceCss(): Promise<string> {
  const fonts = await figureFonts(new Map(fontFaces.map((face) => [face, characters])), 'woff2');
  return [...fonts]
    .map(
      ([face, font]) =>
        `@font-face{font-family:"Source Sans 3";${cuts[face]};` +
        `src:url(data:font/woff2;base64,${Buffer.from(font).toString('base64')}) format("woff2")}`,
    )
    .join('\n');
}
