import { palette } from '../../figures/palette.ts';
import { wrapSlideText } from '../../figures/slideText.ts';
import type { Box, Placed, PlacedParagraph, TextRole } from './placed.ts';
import type { SlideSentence } from './slide.ts';
import { lineSpacing, smallest } from './slideGeometry.ts';

/** Room a bullet takes, in points. */
export const bulletIndent = 20;

/** Sizes tried for sentences, largest first: that of a lead and that of the rest. */
const sizesTried = [
  [28, 24],
  [26, 22],
  [24, 20],
  [22, smallest],
  [smallest, smallest],
] as const;

/** Sentences set in a box at the largest size that fits; those that do not fit even at the smallest are handed back. */
export function placeSentences(
  sentences: readonly SlideSentence[],
  box: Box,
): {
  readonly placed: Placed;
  readonly height: number;
  readonly rest: readonly SlideSentence[];
  /** Nothing was handed back or shortened. */
  readonly whole: boolean;
} {
  for (const [lead, plain] of sizesTried) {
    const paragraphs = sentences.map((sentence, at) =>
      paragraphOf(sentence, box.width, lead, plain, at === 0),
    );
    const height = heightOf(paragraphs);
    if (height <= box.height)
      return { placed: textIn('body', box, paragraphs, height), height, rest: [], whole: true };
  }
  const fitting: PlacedParagraph[] = [];
  for (const sentence of sentences) {
    const next = paragraphOf(sentence, box.width, smallest, smallest, fitting.length === 0);
    // One sentence alone always stays: the layout shortens what no slide could hold.
    if (fitting.length > 0 && heightOf([...fitting, next]) > box.height) break;
    fitting.push(clamped(next, box.height));
  }
  const height = heightOf(fitting);
  return {
    placed: textIn('body', box, fitting, height),
    height,
    rest: sentences.slice(fitting.length),
    whole: false,
  };
}

function clamped(paragraph: PlacedParagraph, room: number): PlacedParagraph {
  const most = Math.floor(room / (paragraph.size * lineSpacing));
  if (paragraph.lines.length <= most) return paragraph;
  const lines = [...paragraph.lines.slice(0, most - 1), '…'];
  return { ...paragraph, lines, text: lines.join(' ') };
}

const textIn = (
  role: TextRole,
  box: Box,
  paragraphs: readonly PlacedParagraph[],
  height: number,
): Placed => ({
  kind: 'text',
  role,
  box: { ...box, height },
  paragraphs,
  align: 'left',
});

function paragraphOf(
  { text, look = 'plain' }: SlideSentence,
  width: number,
  lead: number,
  plain: number,
  first: boolean,
): PlacedParagraph {
  const size = look === 'lead' ? lead : plain;
  const bold = look === 'lead' || look === 'warning';
  const bullet = look === 'item';
  return {
    text,
    lines: wrapSlideText(text, width - (bullet ? bulletIndent : 0), size, bold),
    size,
    face: bold ? 'bold' : 'regular',
    colour: look === 'warning' ? palette.notice : palette.ink,
    bullet,
    before: first ? 0 : 0.4 * size,
  };
}

/** Height of paragraphs one under the other. */
export const heightOf = (paragraphs: readonly PlacedParagraph[]): number =>
  paragraphs.reduce((sum, { lines, size, before }) => sum + before + lines.length * size * lineSpacing, 0);

/** One text in a box, wrapped to it. */
export function placeText(
  role: TextRole,
  text: string,
  box: Box,
  style: {
    readonly size: number;
    readonly face?: PlacedParagraph['face'];
    readonly colour?: string;
    readonly align?: 'left' | 'right';
  },
): Extract<Placed, { kind: 'text' }> {
  const { size, face = 'regular', colour = palette.ink, align = 'left' } = style;
  return {
    kind: 'text',
    role,
    box,
    align,
    paragraphs: [
      {
        text,
        lines: wrapSlideText(text, box.width, size, face === 'bold'),
        size,
        face,
        colour,
        bullet: false,
        before: 0,
      },
    ],
  };
}
