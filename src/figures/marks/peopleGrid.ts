import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

/** A square of people, row by row: surely with the event, perhaps with it, and the rest. */
export interface PeopleGrid {
  readonly people: number;
  /** The first so many, filled. */
  readonly surely: number;
  /** Up to this one, half tone. */
  readonly upTo: number;
  readonly perRow: number;
  readonly left: number;
  readonly top: number;
  /** Distance between neighbours, in points. */
  readonly step: number;
  readonly colour: string;
}

/** How one person of the grid is drawn; the key uses the same. */
export function personMark(
  kind: 'surely' | 'perhaps' | 'rest',
  x: number,
  y: number,
  radius: number,
  colour: string,
): Mark {
  return ({ document }) =>
    shape(document, 'circle', {
      class: kind,
      cx: x,
      cy: y,
      r: radius,
      fill: kind === 'rest' ? palette.paper : colour,
      'fill-opacity': kind === 'perhaps' ? 0.35 : undefined,
      stroke: kind === 'rest' ? palette.hairline : colour,
      'stroke-width': 0.7,
    });
}

/** The grid: read from the top left, so that its filled part can be counted. */
export const peopleGrid = ({
  people,
  surely,
  upTo,
  perRow,
  left,
  top,
  step,
  colour,
}: PeopleGrid): readonly Mark[] =>
  Array.from({ length: people }, (_, index) =>
    personMark(
      index < surely ? 'surely' : index < upTo ? 'perhaps' : 'rest',
      left + ((index % perRow) + 0.5) * step,
      top + (Math.floor(index / perRow) + 0.5) * step,
      0.36 * step,
      colour,
    ),
  );
