import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

/** How much an answer worries, from nothing to most; undefined: nobody judged it; `unknown`: judged, and the paper does not say. */
export type ConcernStep = 0 | 1 | 2 | 3 | 'unknown' | undefined;

const gaps = { 1: 3.4, 2: 1.55 } as const;

/**
 * One answer as a small square: empty, hatched, densely hatched or full, so that more ink is more concern in one hue;
 * a question mark where the paper does not say, a dash where nobody judged.
 */
export const concernMark =
  (step: ConcernStep, x: number, y: number, side: number): Mark =>
  ({ document }) => {
    const half = side / 2;
    if (step === undefined)
      return shape(document, 'path', {
        d: `M${round(x - side / 3)},${round(y)}h${round((2 * side) / 3)}`,
        stroke: palette.quiet,
        'stroke-width': 0.9,
        fill: 'none',
      });
    const frame = shape(document, 'rect', {
      x: round(x - half),
      y: round(y - half),
      width: side,
      height: side,
      fill: step === 3 ? palette.comparison : palette.paper,
      stroke: palette.comparison,
      'stroke-width': 0.8,
    });
    if (step === 'unknown')
      return shape(document, 'g', {}, [
        frame,
        shape(
          document,
          'text',
          { x: round(x), y: round(y + 2.7), 'font-size': 8, 'text-anchor': 'middle', fill: palette.ink },
          ['?'],
        ),
      ]);
    if (step === 0 || step === 3) return frame;
    return shape(document, 'g', {}, [
      frame,
      shape(document, 'path', {
        d: hatch(x - half, y - half, side, gaps[step]),
        stroke: palette.comparison,
        'stroke-width': step === 1 ? 0.7 : 0.8,
        fill: 'none',
      }),
    ]);
  };

/** Lines at 45 degrees within a square, a stated distance apart along its side. */
function hatch(left: number, top: number, side: number, gap: number): string {
  const parts: string[] = [];
  for (let at = gap; at < 2 * side; at += gap) {
    const from = Math.min(at, side);
    const rest = at - from;
    parts.push(`M${round(left + rest)},${round(top + from)}L${round(left + from)},${round(top + rest)}`);
  }
  return parts.join('');
}

const round = (value: number): number => Math.round(1000 * value) / 1000;
