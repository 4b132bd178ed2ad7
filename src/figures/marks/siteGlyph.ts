import type { ClassifiedSite, pooledSites } from '../../extraction/site.ts';
import { siteColours } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';

const height = 11;
const places: Readonly<Record<(typeof pooledSites)[number], number>> = {
  'top-of-groove': 0.12,
  suprapectoral: 0.5,
  subpectoral: 0.88,
  tenotomy: 0.12,
};

/** Room the glyph takes, in points, with the gap after it. */
export const siteGlyphWidth = 10;

/**
 * A site told without colour: the tendon as an upright line with a dot where it is fixed (high, middle, low), a
 * cut line for the release, a dotted line where the site is not known or not bone.
 */
export const siteGlyph =
  (site: ClassifiedSite, left: number, middle: number): Mark =>
  ({ document }) => {
    const colour = siteColours[site];
    const x = left + 3;
    const top = middle - height / 2;
    const line = { stroke: colour, 'stroke-width': 1.1, fill: 'none' };
    if (site === 'soft-tissue' || site === 'unclassified')
      return shape(document, 'g', { class: 'glyph' }, [
        shape(document, 'path', {
          d: `M${x},${top}V${top + height}`,
          ...line,
          'stroke-dasharray': '1.6 1.4',
        }),
      ]);
    if (site === 'tenotomy')
      return shape(document, 'g', { class: 'glyph' }, [
        shape(document, 'path', {
          d: `M${x},${top}V${top + 2.4}M${x - 2.4},${top + 5}L${x + 2.4},${top + 2.8}M${x},${top + 5.4}V${top + height}`,
          ...line,
        }),
      ]);
    return shape(document, 'g', { class: 'glyph' }, [
      shape(document, 'path', { d: `M${x},${top}V${top + height}`, ...line }),
      shape(document, 'circle', { cx: x, cy: top + height * places[site], r: 2.5, fill: colour }),
    ]);
  };
