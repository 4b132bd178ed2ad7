import type { Interval } from '../../numerics/interval.ts';
import { type Axis, place } from '../axis.ts';
import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

/** An earlier pooled estimate: the outline of a bar from limit to limit, with an upright at the estimate. */
export const earlierMark =
  (axis: Axis, y: number, estimate: number, interval: Interval, colour: string): Mark =>
  ({ document, x }) => {
    const lower = place(axis, interval.lower);
    const upper = place(axis, interval.upper);
    const [left, right] = [x(lower.at), x(upper.at)];
    const at = x(place(axis, estimate).at);
    const half = 2.4;
    const tip = (end: number, direction: number) =>
      `M${end - 3 * direction},${y - half - 1.2}L${end},${y}L${end - 3 * direction},${y + half + 1.2}`;
    const beyond = [lower.beyond ? tip(left - 2, -1) : '', upper.beyond ? tip(right + 2, 1) : ''].join('');
    const line = { stroke: colour, 'stroke-width': 0.9, fill: 'none' };
    return shape(document, 'g', { class: 'earlier' }, [
      shape(document, 'rect', {
        x: left,
        y: y - half,
        width: Math.max(right - left, 0.8),
        height: 2 * half,
        rx: half,
        ...line,
        fill: palette.paper,
      }),
      shape(document, 'path', {
        class: 'notch',
        d: `M${at},${y - half - 1.6}V${y + half + 1.6}${beyond}`,
        ...line,
        'stroke-width': 1.2,
      }),
    ]);
  };

/** What each cause moved, as steps that follow each other from nought to the whole change, one line a cause. */
export const stepsMark =
  (axis: Axis, top: number, spacing: number, parts: readonly number[], colour: string): Mark =>
  ({ document, x }) => {
    let sum = 0;
    const pieces: string[] = [];
    const dots: SVGElement[] = [];
    for (const [at, part] of parts.entries()) {
      const y = top + at * spacing;
      const [from, to] = [x(place(axis, sum).at), x(place(axis, sum + part).at)];
      sum += part;
      // A step too small to see is a dot, so that a cause without effect is told from one left out.
      if (Math.abs(to - from) < 0.8)
        dots.push(shape(document, 'circle', { cx: to, cy: y, r: 0.9, fill: colour }));
      else pieces.push(`M${from},${y}H${to}`);
      if (at < parts.length - 1) pieces.push(`M${to},${y}v${spacing}`);
    }
    const [steps, joints] = [
      pieces.filter((piece) => piece.includes('H')),
      pieces.filter((piece) => piece.includes('v')),
    ];
    return shape(document, 'g', { class: 'steps' }, [
      shape(document, 'path', {
        d: joints.join(''),
        stroke: palette.quiet,
        'stroke-width': 0.5,
        fill: 'none',
      }),
      shape(document, 'path', { d: steps.join(''), stroke: colour, 'stroke-width': 2.6, fill: 'none' }),
      ...dots,
    ]);
  };
