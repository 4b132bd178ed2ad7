import type { Interval } from '../../numerics/interval.ts';
import { type Axis, place } from '../axis.ts';
import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

export interface StudyMarkData {
  readonly y: number;
  readonly estimate: number;
  readonly interval: Interval | undefined;
  /** Disc radius in points; undefined for a study that carries no weight, drawn as an open ring. */
  readonly radius: number | undefined;
  readonly colour: string;
}

export const whiskerWidth = 0.8;
const ringRadius = 2.6;
const arrow = 3;

/** Radius of a disc whose area is the share of weight, the largest share having the largest radius. */
export const discRadius = (weight: number, largestWeight: number, largestRadius: number): number =>
  largestRadius * Math.sqrt(weight / largestWeight);

/**
 * One study: a disc whose area is its weight on a thin whisker for its interval. A short upright stroke keeps
 * the place of a disc too small to see; an end that lies beyond the axis is an arrowhead.
 */
export const studyMark =
  (axis: Axis, { y, estimate, interval, radius, colour }: StudyMarkData): Mark =>
  ({ document, x }) => {
    const middle = place(axis, estimate);
    const cx = x(middle.at);
    const stroke = { stroke: colour, 'stroke-width': whiskerWidth, fill: 'none' };
    const parts: SVGElement[] = [];
    if (interval !== undefined) {
      const lower = place(axis, interval.lower);
      const upper = place(axis, interval.upper);
      const [left, right] = [x(lower.at), x(upper.at)];
      const heads = [
        lower.beyond ? `M${left + arrow},${y - arrow / 2}L${left},${y}L${left + arrow},${y + arrow / 2}` : '',
        upper.beyond
          ? `M${right - arrow},${y - arrow / 2}L${right},${y}L${right - arrow},${y + arrow / 2}`
          : '',
      ];
      parts.push(
        shape(document, 'path', {
          class: 'whisker',
          d: `M${left},${y}H${right}${heads.join('')}`,
          ...stroke,
        }),
      );
    }
    if (radius === undefined)
      parts.push(
        shape(document, 'circle', {
          class: 'ring',
          cx,
          cy: y,
          r: ringRadius,
          ...stroke,
          fill: palette.paper,
        }),
      );
    else
      parts.push(
        shape(document, 'path', { class: 'place', d: `M${cx},${y - 2.6}V${y + 2.6}`, ...stroke }),
        shape(document, 'circle', { class: 'disc', cx, cy: y, r: radius, fill: colour }),
      );
    return shape(document, 'g', { class: 'study' }, parts);
  };
