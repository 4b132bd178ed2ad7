import type { ClassifiedSite } from '../../extraction/site.ts';
import { type Axis, place } from '../axis.ts';
import { palette, regionGreys } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

/** The outline that tells a site apart without its colour. */
export function sitePointPath(site: ClassifiedSite | undefined, x: number, y: number): string | undefined {
  const r = 3;
  if (site === 'suprapectoral') return `M${x},${y - r - 0.6}L${x + r + 0.4},${y + r - 0.6}H${x - r - 0.4}Z`;
  if (site === 'subpectoral') return `M${x},${y + r + 0.6}L${x + r + 0.4},${y - r + 0.6}H${x - r - 0.4}Z`;
  if (site === 'tenotomy') return `M${x - r},${y - r}L${x + r},${y + r}M${x - r},${y + r}L${x + r},${y - r}`;
  return undefined;
}

/** One study: a disc, an upright or hanging triangle, or a cross, by site; a white rim parts neighbours. */
export const funnelPoint =
  (
    axis: Axis,
    value: number,
    y: number,
    colour: string,
    site: ClassifiedSite | undefined,
    name: string,
  ): Mark =>
  ({ document, x }) => {
    const at = x(place(axis, value).at);
    const tooltip = shape(document, 'title', {}, [name]);
    const path = sitePointPath(site, at, y);
    if (path === undefined)
      return shape(
        document,
        'circle',
        { class: 'point', cx: at, cy: y, r: 3, fill: colour, stroke: palette.paper, 'stroke-width': 0.6 },
        [tooltip],
      );
    const open = site === 'tenotomy';
    return shape(
      document,
      'path',
      {
        class: 'point',
        d: path,
        fill: open ? 'none' : colour,
        stroke: open ? colour : palette.paper,
        'stroke-width': open ? 1.5 : 0.6,
      },
      [tooltip],
    );
  };

/** Shaded regions of significance: wedges that open from "no difference" at the top, clipped to the frame. */
export const significanceRegions =
  (
    axis: Axis,
    centre: number,
    widths: readonly number[],
    largestError: number,
    top: number,
    bottom: number,
  ): Mark =>
  ({ document, x }) => {
    const wedge = (width: number): string => {
      const corner = (direction: 1 | -1): string => {
        const edge = direction === 1 ? axis.upper : axis.lower;
        const end = centre + direction * width * largestError;
        const reach = Math.abs(edge - centre) / (width * largestError);
        return reach >= 1
          ? `${x(end)},${bottom}`
          : direction === 1
            ? `${x(edge)},${top + reach * (bottom - top)}L${x(edge)},${bottom}`
            : `${x(edge)},${bottom}L${x(edge)},${top + reach * (bottom - top)}`;
      };
      return `M${x(centre)},${top}L${corner(1)}L${corner(-1)}Z`;
    };
    const fills = regionGreys;
    return shape(document, 'g', { class: 'regions' }, [
      shape(document, 'rect', {
        x: x(axis.lower),
        y: top,
        width: x(axis.upper) - x(axis.lower),
        height: bottom - top,
        fill: fills[3],
      }),
      ...[...widths].reverse().map((width, index) =>
        shape(document, 'path', {
          class: 'region',
          d: wedge(width),
          fill: fills[2 - index] ?? palette.paper,
          stroke: palette.paper,
          'stroke-width': 0.8,
        }),
      ),
    ]);
  };
