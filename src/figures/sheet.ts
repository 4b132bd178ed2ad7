import type { ResolvedFigureOptions } from './figureOptions.ts';
import { label, paragraph } from './label.ts';
import { palette } from './palette.ts';
import { type Mark, shape } from './shape.ts';
import { textWidth } from './textWidth.ts';

/** A page being filled from the top: the marks so far and the y (points) where the next thing goes. */
export interface Sheet {
  readonly marks: Mark[];
  y: number;
}

const noticeFrame =
  (left: number, top: number, width: number, height: number): Mark =>
  ({ document }) =>
    shape(document, 'rect', {
      class: 'notice-frame',
      x: left,
      y: top,
      width,
      height,
      rx: 3,
      fill: 'none',
      stroke: palette.notice,
      'stroke-width': 0.8,
    });

/** Title, subtitle and the framed notice. */
export function startSheet({ page, title, subtitle, notice }: ResolvedFigureOptions): Sheet {
  const sheet: Sheet = { marks: [], y: page.margin };
  const room = page.width - 2 * page.margin;
  const write = (text: string, size: number, face: 'bold' | 'regular', fill: string, gap: number) => {
    const lineHeight = size * 1.2;
    const lines = paragraph(text, page.margin, sheet.y + size, { size, face, fill, room, lineHeight });
    sheet.marks.push(...lines.marks);
    sheet.y += lines.lines * lineHeight + gap;
  };
  write(title, page.titleSize, 'bold', palette.ink, 1);
  if (subtitle !== undefined) write(subtitle, page.textSize, 'regular', palette.quiet, 1);
  if (notice !== undefined) {
    const padding = 5;
    const text = paragraph(notice, page.margin + padding, sheet.y + 5 + page.noteSize, {
      size: page.noteSize,
      face: 'semibold',
      fill: palette.notice,
      room: room - 2 * padding,
      lineHeight: page.lineHeight,
    });
    const width = text.lines > 1 ? room : textWidth(notice, page.noteSize, 'semibold') + 2 * padding;
    const height = text.lines * page.lineHeight + 5;
    sheet.marks.push(noticeFrame(page.margin, sheet.y + 3, width, height), ...text.marks);
    sheet.y += height + 6;
  }
  sheet.y += 5;
  return sheet;
}

/** Notes in the quiet colour over the whole width, then the caution; the sheet ends below them. */
export function finishSheet(
  sheet: Sheet,
  notes: readonly string[],
  { page, caution }: ResolvedFigureOptions,
): number {
  const room = page.width - 2 * page.margin;
  const style = { size: page.noteSize, room, lineHeight: page.lineHeight } as const;
  for (const [text, face, fill] of [
    ...notes.map((note) => [note, 'regular', palette.quiet] as const),
    ...(caution === undefined ? [] : [[caution, 'italic', palette.ink] as const]),
  ]) {
    const lines = paragraph(text, page.margin, sheet.y + page.noteSize, { ...style, face, fill });
    sheet.marks.push(...lines.marks);
    sheet.y += lines.lines * page.lineHeight + 2.5;
  }
  return Math.ceil(sheet.y + page.margin - 2);
}

/** One text in the sheet, by its baseline. */
export const put = (sheet: Sheet, ...args: Parameters<typeof label>): void => {
  sheet.marks.push(label(...args));
};
