import { slideStyle } from '../../figures/mediaStyles.ts';
import type { Box } from './placed.ts';

/** Points in an inch. */
export const pointsPerInch = 72;

/** 16:9, 13.333 by 7.5 inches. */
export const slideWidth = 960;
export const slideHeight = 540;
const margin = Math.round(slideStyle.page.margin * pointsPerInch);

/** Lines are set this many times their size apart. */
export const lineSpacing = 1.2;
export const smallest = slideStyle.smallestSize;
const smallLine = Math.ceil(smallest * lineSpacing);

const box = (top: number, height: number): Box => ({
  left: margin,
  top,
  width: slideWidth - 2 * margin,
  height,
});

const footTop = slideHeight - 14 - 2 * smallLine;

/** Where the parts of every slide stand. */
export const slideBoxes = {
  title: box(18, 82),
  body: box(112, footTop - 12 - smallLine - 6 - 112),
  source: box(footTop - 8 - smallLine, smallLine),
  rule: box(footTop - 4, 0),
  notice: box(footTop, smallLine),
  caution: box(footTop + smallLine, smallLine),
  number: {
    left: slideWidth - margin - 60,
    top: footTop + smallLine,
    width: 60,
    height: smallLine,
  },
} as const;
