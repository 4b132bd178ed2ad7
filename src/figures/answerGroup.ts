import { type Mark, shape } from './shape.ts';
import type { Sheet } from './sheet.ts';

/**
 * Draws marks as one group that names the answer whose number they print, so that a reader of the file can go from the
 * picture to the answer. Without an id the marks stand as they are.
 */
export function putAnswer(sheet: Sheet, answer: string | undefined, draw: (sheet: Sheet) => void): void {
  if (answer === undefined) {
    draw(sheet);
    return;
  }
  const inner: { marks: Mark[]; y: number } = { marks: [], y: sheet.y };
  draw(inner);
  sheet.y = inner.y;
  sheet.marks.push((canvas) =>
    shape(
      canvas.document,
      'g',
      { 'data-answer': answer },
      inner.marks.map((mark) => mark(canvas)),
    ),
  );
}
