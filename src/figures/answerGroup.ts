import type { BesideKind } from '../wording/beside.ts';
import { type Mark, shape } from './shape.ts';
import type { Sheet } from './sheet.ts';

/**
 * Draws marks as one group that names the answer whose number they print, so that a reader of the file can go from the
 * picture to the answer. Without an id the marks stand as they are.
 */
export const putAnswer = (sheet: Sheet, answer: string | undefined, draw: (sheet: Sheet) => void): void =>
  putGroupOf(sheet, answer === undefined ? undefined : { 'data-answer': answer }, draw);

/** Draws marks as one group that says what its numbers are, where they are no answer of the review. */
export const putBeside = (sheet: Sheet, beside: BesideKind | undefined, draw: (sheet: Sheet) => void): void =>
  putGroupOf(sheet, beside === undefined ? undefined : { 'data-beside': beside }, draw);

function putGroupOf(
  sheet: Sheet,
  attributes: Readonly<Record<string, string>> | undefined,
  draw: (sheet: Sheet) => void,
): void {
  if (attributes === undefined) {
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
      attributes,
      inner.marks.map((mark) => mark(canvas)),
    ),
  );
}
