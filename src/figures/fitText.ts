import { type FontFace, textWidth } from './textWidth.ts';

/** Control characters, line breaks and direction overrides become spaces: a label is one line of plain text. */
export const plainLine = (text: string): string => text.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp} ]+/gu, ' ').trim();

/** Shortens a text to a width in points, ending in an ellipsis when something was cut. */
export function truncateText(text: string, width: number, size: number, face: FontFace = 'regular'): string {
  if (textWidth(text, size, face) <= width) return text;
  const characters = [...text];
  while (characters.length > 0) {
    characters.pop();
    const shortened = `${characters.join('').trimEnd()}…`;
    if (textWidth(shortened, size, face) <= width) return shortened;
  }
  return '…';
}

/** Breaks a text into lines no wider than a width in points; a longer word is cut. */
export function wrapText(
  text: string,
  width: number,
  size: number,
  face: FontFace = 'regular',
): readonly string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of plainLine(text).split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (textWidth(longer, size, face) <= width) {
      line = longer;
      continue;
    }
    if (line !== '') lines.push(line);
    line = truncateText(word, width, size, face);
  }
  if (line !== '') lines.push(line);
  return lines;
}
