import { answersIn, withoutAnswerMarks } from '../wording/answerMark.ts';
import { plainLine, truncateText, wrapText } from './fitText.ts';
import { palette } from './palette.ts';
import { type Mark, shape } from './shape.ts';
import type { FontFace } from './textWidth.ts';

export interface LabelStyle {
  readonly size: number;
  readonly face?: FontFace;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly fill?: string;
  /** Room in points; longer text ends in an ellipsis and keeps the whole as a tooltip. */
  readonly room?: number;
  readonly className?: string;
}

const faceAttributes: Readonly<Record<FontFace, Readonly<Record<string, string>>>> = {
  regular: {},
  italic: { 'font-style': 'italic' },
  semibold: { 'font-weight': '600' },
  bold: { 'font-weight': '700' },
};

/** One line of text with its baseline at (x, y), both in points; it names the answer whose number it prints. */
export function label(text: string, x: number, y: number, style: LabelStyle): Mark {
  const [answer] = answersIn(text);
  const whole = plainLine(withoutAnswerMarks(text));
  const { size, face = 'regular', anchor = 'start', fill = palette.ink, room, className } = style;
  const shown = room === undefined ? whole : truncateText(whole, room, size, face);
  return ({ document }) =>
    shape(
      document,
      'text',
      {
        class: className,
        x,
        y,
        'font-size': size,
        ...faceAttributes[face],
        'text-anchor': anchor === 'start' ? undefined : anchor,
        fill,
        'data-answer': answer,
      },
      shown === whole ? [shown] : [shape(document, 'title', {}, [whole]), shown],
    );
}

/** Text broken to a width; tells how many lines it took. */
export function paragraph(
  text: string,
  x: number,
  y: number,
  style: LabelStyle & { readonly room: number; readonly lineHeight: number },
): { readonly marks: readonly Mark[]; readonly lines: number } {
  const { room, lineHeight, ...rest } = style;
  const lines = wrapText(text, room, style.size, style.face);
  return {
    marks: lines.map((line, index) => label(line, x, y + index * lineHeight, rest)),
    lines: lines.length,
  };
}
