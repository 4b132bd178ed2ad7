/** Points in a millimetre: 72 to the inch of 25.4 mm. */
export const pointsPerMillimetre = 72 / 25.4;

/** Widths by name: one column and two columns of a journal. */
export const figureWidths = ['90mm', '190mm'] as const;
export type FigureWidth = (typeof figureWidths)[number] | number;

/** Type and spacing at one width, in points. */
export interface PageSize {
  readonly millimetres: number;
  readonly width: number;
  readonly margin: number;
  /** One column: text is stacked in two lines a row. */
  readonly narrow: boolean;
  readonly titleSize: number;
  readonly headingSize: number;
  readonly textSize: number;
  readonly noteSize: number;
  readonly lineHeight: number;
}

/**
 * Type and spacing for a width.
 *
 * @throws RangeError outside 90 to 400 mm, or for a name that is not a width.
 */
export function pageSize(width: FigureWidth): PageSize {
  const millimetres =
    typeof width === 'number' ? width : figureWidths.includes(width) ? Number.parseFloat(width) : Number.NaN;
  if (!(millimetres >= 90 && millimetres <= 400))
    throw new RangeError(
      `width must be ${figureWidths.map((name) => `'${name}'`).join(', ')} or a number from 90 to 400 (mm), received ${String(width)}`,
    );
  const narrow = millimetres < 140;
  return {
    millimetres,
    width: millimetres * pointsPerMillimetre,
    margin: narrow ? 4 : 8,
    narrow,
    titleSize: narrow ? 10.5 : 13,
    headingSize: narrow ? 9 : 10,
    textSize: narrow ? 8 : 8.5,
    noteSize: 8,
    lineHeight: narrow ? 9.8 : 10.4,
  };
}
