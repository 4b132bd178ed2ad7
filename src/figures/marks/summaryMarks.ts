import type { Interval } from '../../numerics/interval.ts';
import { type Axis, place } from '../axis.ts';
import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

export const barThickness = 6.4;

/**
 * A pooled estimate: a thick bar with round ends from the lower to the upper limit, cut by a white notch at the
 * estimate; the notch is capped by short strokes so that it is seen on a very short bar too.
 */
export const pooledMark =
  (axis: Axis, y: number, estimate: number, interval: Interval, colour: string): Mark =>
  ({ document, x }) => {
    const lower = place(axis, interval.lower);
    const upper = place(axis, interval.upper);
    const [left, right] = [x(lower.at), x(upper.at)];
    const at = x(place(axis, estimate).at);
    const half = barThickness / 2;
    const width = Math.max(right - left, 0.8);
    const tip = (end: number, direction: number) =>
      `M${end - 3 * direction},${y - half - 1.6}L${end},${y}L${end - 3 * direction},${y + half + 1.6}`;
    const beyond = [lower.beyond ? tip(left - 2, -1) : '', upper.beyond ? tip(right + 2, 1) : ''].join('');
    return shape(document, 'g', { class: 'pooled' }, [
      // A white rim parts the bar from a hatched band behind it.
      shape(document, 'rect', {
        x: left - 1.2,
        y: y - half - 1.2,
        width: width + 2.4,
        height: barThickness + 2.4,
        rx: half + 1.2,
        fill: palette.paper,
      }),
      shape(document, 'rect', {
        class: 'bar',
        x: left,
        y: y - half,
        width,
        height: barThickness,
        rx: Math.min(half, width / 2),
        fill: colour,
      }),
      ...(beyond === ''
        ? []
        : [shape(document, 'path', { d: beyond, stroke: colour, 'stroke-width': 1.2, fill: 'none' })]),
      // On a bar too short to be cut, and at its very end, the caps alone mark the estimate.
      ...(width < 7 || at - left < 1 || right - at < 1
        ? []
        : [
            shape(document, 'path', {
              d: `M${at},${y - half}V${y + half}`,
              stroke: palette.paper,
              'stroke-width': 1.4,
              fill: 'none',
            }),
          ]),
      shape(document, 'path', {
        class: 'notch',
        d: `M${at},${y - half - 2.4}V${y - half}M${at},${y + half}V${y + half + 2.4}`,
        stroke: colour,
        'stroke-width': 1.4,
        fill: 'none',
      }),
    ]);
  };

/** What to expect in a new study: a hatched band between two brackets that open inwards. */
export const predictionMark =
  (axis: Axis, y: number, interval: Interval, colour: string, hatch: string, half = 2.8): Mark =>
  ({ document, x, id }) => {
    const lower = place(axis, interval.lower);
    const upper = place(axis, interval.upper);
    const [left, right] = [x(lower.at), x(upper.at)];
    const bracket = (end: number, inward: number, beyond: boolean) =>
      beyond
        ? `M${end + 3 * inward},${y - half}L${end},${y}L${end + 3 * inward},${y + half}`
        : `M${end + 2.2 * inward},${y - half}H${end}V${y + half}H${end + 2.2 * inward}`;
    return shape(document, 'g', { class: 'prediction' }, [
      shape(document, 'rect', {
        x: left,
        y: y - half + 1,
        width: Math.max(0, right - left),
        height: 2 * half - 2,
        fill: `url(#${id(hatch)})`,
      }),
      shape(document, 'path', {
        class: 'bracket',
        d: `${bracket(left, 1, lower.beyond)}${bracket(right, -1, upper.beyond)}`,
        stroke: colour,
        'stroke-width': 1,
        fill: 'none',
      }),
    ]);
  };

/** Defines the hatching a prediction band is filled with. */
export const hatchPattern =
  (name: string, colour: string): Mark =>
  ({ document, id }) =>
    shape(document, 'defs', {}, [
      shape(
        document,
        'pattern',
        {
          id: id(name),
          patternUnits: 'userSpaceOnUse',
          width: 2.4,
          height: 2.4,
          patternTransform: 'rotate(45)',
        },
        [shape(document, 'path', { d: 'M1.2,0V2.4', stroke: colour, 'stroke-width': 0.6, fill: 'none' })],
      ),
    ]);

/** The same question asked of another model: a small open triangle on a dotted line. */
export const checkMark =
  (axis: Axis, y: number, estimate: number, interval: Interval | undefined, colour: string): Mark =>
  ({ document, x }) => {
    const at = x(place(axis, estimate).at);
    const line = { stroke: colour, 'stroke-width': 0.9, fill: 'none' };
    return shape(document, 'g', { class: 'check' }, [
      ...(interval === undefined
        ? []
        : [
            shape(document, 'path', {
              d: `M${x(place(axis, interval.lower).at)},${y}H${x(place(axis, interval.upper).at)}`,
              ...line,
              'stroke-dasharray': '0.9 1.5',
            }),
          ]),
      shape(document, 'path', {
        class: 'triangle',
        d: `M${at},${y - 3.2}L${at + 3},${y + 2}H${at - 3}Z`,
        ...line,
        fill: palette.paper,
      }),
    ]);
  };
