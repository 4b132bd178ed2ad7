import { plainLine } from './fitText.ts';
import { slideCodePoints, slideWidths } from './slideWidthTable.ts';
import { textWidth } from './textWidth.ts';

/**
 * The type of a slide. A presentation is shown on a stranger's computer, where only the fonts every office program has
 * can be counted on: its text is set in Arial. Pictures of slides are set in Source Sans 3. Text is measured for the
 * wider of the two, so that it fits both.
 */
export const slideFont = 'Arial';

/** Nothing on a slide is set smaller. */
export const smallestSlideText = 18;

const readWidths = (face: keyof typeof slideWidths): ReadonlyMap<number, number> => {
  const widths = slideWidths[face].split(' ').map(Number);
  const codePoints = slideCodePoints.split(' ').flatMap((span) => {
    const [first = 0, last = 0] = span.split('-').map((end) => Number.parseInt(end, 16));
    return Array.from({ length: last - first + 1 }, (_, index) => first + index);
  });
  return new Map(codePoints.map((codePoint, index) => [codePoint, widths[index] ?? 1000]));
};
const arial = { regular: readWidths('regular'), bold: readWidths('bold') };

/** How wide is a text on a slide, in points, in the wider of its two fonts? */
export function slideTextWidth(text: string, size: number, bold = false): number {
  const face = bold ? 'bold' : 'regular';
  let thousandths = 0;
  for (const character of text) {
    const codePoint = character.codePointAt(0) ?? 0;
    thousandths += arial[face].get(codePoint) ?? (codePoint >= 0x300 && codePoint <= 0x36f ? 0 : 1000);
  }
  return Math.max((thousandths * size) / 1000, textWidth(text, size, face));
}

/** Breaks a text into lines no wider than a width in points; a word longer than a line is broken, nothing is lost. */
export function wrapSlideText(text: string, width: number, size: number, bold = false): readonly string[] {
  const lines: string[] = [];
  let line = '';
  for (let word of plainLine(text).split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (slideTextWidth(longer, size, bold) <= width) {
      line = longer;
      continue;
    }
    if (line !== '') lines.push(line);
    while (slideTextWidth(word, size, bold) > width) {
      let head = '';
      for (const character of word) {
        if (head !== '' && slideTextWidth(head + character, size, bold) > width) break;
        head += character;
      }
      lines.push(head);
      word = word.slice(head.length);
    }
    line = word;
  }
  if (line !== '') lines.push(line);
  return lines;
}

/** Shortens a text to a number of lines, ending in an ellipsis where something was cut. */
export function clampSlideText(
  text: string,
  width: number,
  size: number,
  lines: number,
  bold = false,
): string {
  const whole = plainLine(text);
  if (wrapSlideText(whole, width, size, bold).length <= lines) return whole;
  const words = whole.split(' ');
  while (words.length > 1) {
    words.pop();
    const shorter = `${words.join(' ').replace(/[\s,;:.]+$/, '')}…`;
    if (wrapSlideText(shorter, width, size, bold).length <= lines) return shorter;
  }
  const characters = [...whole];
  while (characters.length > 0) {
    characters.pop();
    const shorter = `${characters.join('')}…`;
    if (wrapSlideText(shorter, width, size, bold).length <= lines) return shorter;
  }
  return '…';
}
