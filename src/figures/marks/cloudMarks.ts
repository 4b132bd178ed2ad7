import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

/** Counts of subsets in a grid, lowest I² row first: those with the chosen study, and those without. */
export interface CloudBins {
  readonly columns: number;
  readonly rows: number;
  readonly withIt: Float64Array;
  readonly without: Float64Array;
}

const shades = 5;
/** Mostly without the study, mixed, mostly with it. */
const mixes = 3;

/** The grid as cells: coloured by whose subsets they mostly are, in grey where mixed, deeper the more there are. */
export const cloudCells =
  (
    { columns, rows, withIt, without }: CloudBins,
    [left, right]: readonly [number, number],
    top: number,
    bottom: number,
    withColour: string,
    withoutColour: string,
  ): Mark =>
  ({ document }) => {
    const width = (right - left) / columns;
    const height = (bottom - top) / rows;
    let most = 0;
    for (let at = 0; at < withIt.length; at++) most = Math.max(most, withIt[at]! + without[at]!);
    // One path for each colour keeps a picture of a million subsets small.
    const paths = new Map<number, string[]>();
    for (let row = 0; row < rows; row++) {
      for (let column = 0; column < columns; column++) {
        const at = row * columns + column;
        const count = withIt[at]! + without[at]!;
        if (count === 0) continue;
        const shade = Math.ceil((shades * Math.log1p(count)) / Math.log1p(most)) - 1;
        const mix = Math.min(mixes - 1, Math.floor((mixes * withIt[at]!) / count));
        const key = mix * shades + shade;
        // Cells mostly without the study are smaller, which a grey printer shows too.
        const gap = mix === 0 ? 0.18 : 0;
        const x = left + (column + gap) * width;
        const y = bottom - (row + 1 - gap) * height;
        const across = round((1 - 2 * gap) * width);
        const cell = `M${round(x)},${round(y)}h${across}v${round((1 - 2 * gap) * height)}h${-across}z`;
        const path = paths.get(key);
        if (path) path.push(cell);
        else paths.set(key, [cell]);
      }
    }
    return shape(
      document,
      'g',
      { class: 'cloud' },
      [...paths]
        .sort(([a], [b]) => a - b)
        .map(([key, cells]) =>
          shape(document, 'path', {
            class: 'cells',
            d: cells.join(''),
            fill: [withoutColour, palette.quiet, withColour][Math.floor(key / shades)],
            'fill-opacity': round(0.25 + (0.75 * ((key % shades) + 1)) / shades),
          }),
        ),
    );
  };

/** How the means spread, for subsets with the study (solid) and without it (dashed). */
export const cloudOutline =
  (
    { columns, rows, withIt, without }: CloudBins,
    [left, right]: readonly [number, number],
    top: number,
    bottom: number,
    withColour: string,
    withoutColour: string,
  ): Mark =>
  ({ document }) => {
    const heights = (counts: Float64Array): number[] =>
      Array.from({ length: columns }, (_, column) => {
        let sum = 0;
        for (let row = 0; row < rows; row++) sum += counts[row * columns + column]!;
        return sum;
      });
    const [first, second] = [heights(withIt), heights(without)];
    const most = Math.max(...first, ...second);
    const width = (right - left) / columns;
    const line = (counts: readonly number[], colour: string, dashed: boolean) =>
      shape(document, 'path', {
        class: 'outline',
        d: counts
          .map(
            (count, column) =>
              `${column === 0 ? `M${round(left)},${round(bottom - (count / most) * (bottom - top))}` : `V${round(bottom - (count / most) * (bottom - top))}`}H${round(left + (column + 1) * width)}`,
          )
          .join(''),
        stroke: colour,
        'stroke-width': 1,
        'stroke-dasharray': dashed ? '3 2' : undefined,
        fill: 'none',
      });
    return shape(document, 'g', { class: 'outlines' }, [
      line(second, withoutColour, true),
      line(first, withColour, false),
    ]);
  };

const round = (value: number): number => Math.round(100 * value) / 100;
