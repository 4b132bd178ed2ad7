import type { Axis } from './axis.ts';
import { tickMarks } from './marks/axisMarks.ts';
import type { PageSize } from './pageSize.ts';
import { palette } from './palette.ts';
import { put, type Sheet } from './sheet.ts';

/** Points for a place in axis units; the range may run upwards, as that of an upright axis does. */
export const pointsAlong =
  (axis: Pick<Axis, 'lower' | 'upper'>, [from, to]: readonly [number, number]) =>
  (at: number): number =>
    from + ((at - axis.lower) / (axis.upper - axis.lower)) * (to - from);

/** The title of an upright axis stands above it, at the left edge of the page. */
export function putUprightTitle(
  sheet: Sheet,
  title: string,
  page: PageSize,
  { gap = 8, room }: { readonly gap?: number; readonly room?: number } = {},
): void {
  put(sheet, title, page.margin, sheet.y + page.noteSize, {
    size: page.noteSize,
    face: 'semibold',
    fill: palette.quiet,
    ...(room === undefined ? {} : { room }),
  });
  sheet.y += page.lineHeight + gap;
}

/** An axis along the foot of a plot, with its ticks and its title below the middle. */
export function putAxisBelow(
  sheet: Sheet,
  axis: Axis,
  [left, right]: readonly [number, number],
  page: PageSize,
  {
    title = axis.title,
    titleGap = 6,
    gap = 6,
  }: { readonly title?: string; readonly titleGap?: number; readonly gap?: number } = {},
): void {
  sheet.marks.push(tickMarks(axis, sheet.y, page.noteSize));
  sheet.y += page.noteSize + titleGap;
  put(sheet, title, (left + right) / 2, sheet.y + page.noteSize, {
    size: page.noteSize,
    anchor: 'middle',
    fill: palette.quiet,
  });
  sheet.y += page.lineHeight + gap;
}
