import { coveredCodePoints, textWidthTable } from './textWidthTable.ts';

/** The four cuts of the figure font. */
export const fontFaces = ['regular', 'italic', 'semibold', 'bold'] as const;
export type FontFace = (typeof fontFaces)[number];

const codePoints = coveredCodePoints.split(' ').flatMap((span) => {
  const [first = 0, last = 0] = span.split('-').map((end) => Number.parseInt(end, 16));
  return Array.from({ length: last - first + 1 }, (_, index) => first + index);
});

const readFace = (face: FontFace): ReadonlyMap<number, number> => {
  const widths = textWidthTable[face].widths.split(' ').map(Number);
  return new Map(codePoints.map((codePoint, index) => [codePoint, widths[index] ?? 0]));
};

const faces: Readonly<Record<FontFace, ReadonlyMap<number, number>>> = {
  regular: readFace('regular'),
  italic: readFace('italic'),
  semibold: readFace('semibold'),
  bold: readFace('bold'),
};

/** Combining marks take no room of their own; glyphs the font lacks are given a full em. */
const widthOf = (codePoint: number, face: FontFace): number =>
  faces[face].get(codePoint) ?? (codePoint >= 0x300 && codePoint <= 0x36f ? 0 : 1000);

/**
 * How wide is a text, in points?
 *
 * The sum of the advance widths of Source Sans 3 (kerning, which mostly tightens, is left out, so the
 * answer errs to the wide side). A character outside the table counts as one em.
 *
 * @example
 * textWidth('Rate, %', 8, 'semibold') // points at 8 pt
 */
export function textWidth(text: string, size: number, face: FontFace = 'regular'): number {
  let thousandths = 0;
  for (const character of text) thousandths += widthOf(character.codePointAt(0) ?? 0, face);
  return (thousandths * size) / 1000;
}
