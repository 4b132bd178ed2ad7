import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

/** People as marks, row by row: expected to have the event, possible up to the limit, and the rest. */
export interface PeopleDots {
  readonly people: number;
  /** The first so many have it. */
  readonly filled: number;
  /** Up to this one it may be. */
  readonly upTo: number;
  readonly perRow: number;
  readonly left: number;
  readonly top: number;
  /** Distance between neighbours, in points. */
  readonly step: number;
  readonly colour: string;
  /** The rest as points, where rings would close up; default for more than 100 people. */
  readonly fine?: boolean;
}

const number = (value: number): string => String(Math.round(value * 1000) / 1000);
const circle = (x: number, y: number, radius: number): string =>
  `M${number(x - radius)},${number(y)}a${number(radius)},${number(radius)} 0 1 0 ${number(2 * radius)},0a${number(radius)},${number(radius)} 0 1 0 ${number(-2 * radius)},0z`;

/**
 * A square of people, told apart by shape and not by colour: a full disc for each that has the event, a ring with a dot
 * in it for each that may, a small empty ring for the rest. Each kind is one path, so that a thousand stay light.
 */
export const peopleDots =
  ({ people, filled, upTo, perRow, left, top, step, colour, fine = people > 100 }: PeopleDots): Mark =>
  ({ document }) => {
    const paths = { expected: '', possible: '', point: '', rest: '' };
    for (let index = 0; index < people; index++) {
      const x = left + ((index % perRow) + 0.5) * step;
      const y = top + (Math.floor(index / perRow) + 0.5) * step;
      if (index < filled) paths.expected += circle(x, y, 0.4 * step);
      else if (index < upTo) {
        paths.possible += circle(x, y, 0.34 * step);
        paths.point += circle(x, y, 0.11 * step);
      } else paths.rest += circle(x, y, (fine ? 0.15 : 0.22) * step);
    }
    const line = Math.max(0.5, 0.11 * step);
    const path = (d: string, name: string, look: Readonly<Record<string, string | number>>) =>
      d === '' ? [] : [shape(document, 'path', { class: name, d, ...look })];
    return shape(document, 'g', { class: 'people' }, [
      ...path(
        paths.rest,
        'rest',
        fine
          ? { fill: palette.quiet }
          : { fill: 'none', stroke: palette.quiet, 'stroke-width': Math.max(0.5, 0.05 * step) },
      ),
      ...path(paths.possible, 'possible', { fill: 'none', stroke: colour, 'stroke-width': line }),
      ...path(paths.point, 'point', { fill: colour }),
      ...path(paths.expected, 'expected', { fill: colour }),
    ]);
  };

/** People in a row of the square: ten of a hundred, forty of a thousand. */
export const peoplePerRow = (people: number): number => (people <= 100 ? 10 : 40);
