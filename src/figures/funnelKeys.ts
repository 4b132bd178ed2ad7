import { type ClassifiedSite, siteNames } from '../extraction/site.ts';
import { funnelPoint } from './marks/funnelMarks.ts';
import type { PageSize } from './pageSize.ts';
import { palette, regionGreys, siteColours } from './palette.ts';
import { type Mark, shape } from './shape.ts';
import { put, type Sheet } from './sheet.ts';
import { textWidth } from './textWidth.ts';

interface KeyEntry {
  readonly text: string;
  readonly colour: string;
  readonly mark: (left: number, middle: number) => Mark;
}

const markRoom = 13;

/** A line of marks with their names, broken where the page ends. */
function putKey(sheet: Sheet, entries: readonly KeyEntry[], page: PageSize): void {
  let left = page.margin;
  for (const { text, colour, mark } of entries) {
    const width = markRoom + textWidth(text, page.noteSize, 'semibold') + 12;
    if (left + width - 12 > page.width - page.margin && left > page.margin) {
      left = page.margin;
      sheet.y += page.lineHeight + 2;
    }
    const middle = sheet.y + page.noteSize / 2 + 1;
    sheet.marks.push(mark(left, middle));
    put(sheet, text, left + markRoom, middle + 2.7, {
      size: page.noteSize,
      face: 'semibold',
      fill: colour,
    });
    left += width;
  }
  sheet.y += page.lineHeight + 6;
}

/** Names the mark of each site. */
export function putSiteKey(sheet: Sheet, sites: readonly ClassifiedSite[], page: PageSize): void {
  const still = { lower: 0, upper: 1, ticks: [], title: '', toAxis: (value: number) => value };
  putKey(
    sheet,
    sites.map((site) => ({
      text: siteNames[site],
      colour: siteColours[site],
      mark: (left, middle) => (canvas) =>
        funnelPoint(
          still,
          0,
          middle,
          siteColours[site],
          site,
          siteNames[site],
        )({ ...canvas, x: () => left + 4 }),
    })),
    page,
  );
}

const regionTexts = ['p above 0.10', '0.10 to 0.05', '0.05 to 0.01', 'below 0.01'] as const;

/** Names the greys of the regions of significance. */
export function putRegionKey(sheet: Sheet, page: PageSize): void {
  putKey(
    sheet,
    regionTexts.map((text, index) => ({
      text,
      colour: palette.quiet,
      mark:
        (left, middle) =>
        ({ document }) =>
          shape(document, 'rect', {
            class: 'swatch',
            x: left + 0.5,
            y: middle - 4,
            width: 9,
            height: 8,
            fill: regionGreys[index],
            stroke: palette.quiet,
            'stroke-width': 0.5,
          }),
    })),
    page,
  );
}
