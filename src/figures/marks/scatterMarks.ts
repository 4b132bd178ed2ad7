import type { ClassifiedSite } from '../../extraction/site.ts';
import { palette } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';
import { sitePointPath } from './funnelMarks.ts';

/** A place on a picture with two axes, both in points. */
export type Place = readonly [x: number, y: number];

const path = (places: readonly Place[]): string =>
  places.map(([x, y], index) => `${index === 0 ? 'M' : 'L'}${x.toFixed(2)},${y.toFixed(2)}`).join('');

/** A circle whose area is the weight of a study, its site's mark at the centre. */
export const bubble =
  ([x, y]: Place, radius: number, colour: string, site: ClassifiedSite | undefined, name: string): Mark =>
  ({ document }) => {
    const outline = sitePointPath(site, x, y);
    const open = site === 'tenotomy';
    return shape(document, 'g', { class: 'bubble' }, [
      shape(document, 'title', {}, [name]),
      shape(document, 'circle', {
        cx: x,
        cy: y,
        r: Math.max(3.4, radius),
        fill: colour,
        'fill-opacity': 0.13,
        stroke: colour,
        'stroke-width': 0.6,
      }),
      outline === undefined
        ? shape(document, 'circle', { cx: x, cy: y, r: 2.2, fill: colour })
        : shape(document, 'path', {
            d: outline,
            fill: open ? 'none' : colour,
            stroke: open ? colour : palette.paper,
            'stroke-width': open ? 1.3 : 0.5,
          }),
    ]);
  };

/** A line with the band of its interval. */
export const bandMark =
  (line: readonly Place[], lower: readonly Place[], upper: readonly Place[], colour: string): Mark =>
  ({ document }) =>
    shape(document, 'g', { class: 'band' }, [
      shape(document, 'path', {
        d: `${path(upper)}${path([...lower].reverse()).replace('M', 'L')}Z`,
        fill: colour,
        'fill-opacity': 0.12,
      }),
      ...[lower, upper].map((edge) =>
        shape(document, 'path', {
          d: path(edge),
          fill: 'none',
          stroke: colour,
          'stroke-width': 0.6,
          'stroke-dasharray': '3 2',
        }),
      ),
      shape(document, 'path', { d: path(line), fill: 'none', stroke: colour, 'stroke-width': 1.6 }),
    ]);

/** A closed region with its own dash, so that four overlap and can still be followed in grey. */
export const regionMark =
  (edge: readonly Place[], colour: string, dash: string | undefined): Mark =>
  ({ document }) =>
    shape(document, 'path', {
      class: 'joint-region',
      d: `${path(edge)}Z`,
      fill: colour,
      'fill-opacity': 0.08,
      stroke: colour,
      'stroke-width': 1.2,
      'stroke-dasharray': dash,
    });
