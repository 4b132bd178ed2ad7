import type { Availability } from '../../robustness/missing/missingEvidence.ts';
import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

const radius = 3.4;

/**
 * How much of an outcome a study gives: a disc; a disc with a hole (in another report); a half disc (reported otherwise);
 * an empty ring (no number); a dash (silent). Told apart by shape, so that grey print keeps them.
 */
export const availabilityMark =
  (availability: Availability, x: number, y: number): Mark =>
  ({ document }) => {
    const ring = (fill: string): SVGElement =>
      shape(document, 'circle', {
        cx: x,
        cy: y,
        r: radius,
        fill,
        stroke: palette.comparison,
        'stroke-width': 1,
      });
    switch (availability) {
      case 'used':
        return ring(palette.comparison);
      case 'in another report':
        return shape(document, 'g', {}, [
          ring(palette.comparison),
          shape(document, 'circle', { cx: x, cy: y, r: 1.5, fill: palette.paper }),
        ]);
      case 'reported otherwise':
        return shape(document, 'g', {}, [
          ring(palette.paper),
          shape(document, 'path', {
            d: `M${x},${y - radius}A${radius},${radius} 0 0 0 ${x},${y + radius}z`,
            fill: palette.comparison,
          }),
        ]);
      case 'without a number':
        return ring(palette.paper);
      case 'not reported':
        return shape(document, 'path', {
          d: `M${x - 2.2},${y}h4.4`,
          stroke: palette.quiet,
          'stroke-width': 0.9,
          fill: 'none',
        });
    }
  };
