import { wrapText } from './fitText.ts';
import type { PageSize } from './pageSize.ts';
import { palette } from './palette.ts';
import { put, type Sheet } from './sheet.ts';

/** Both directions in words, either side of "no difference"; each breaks into lines where room is short. */
export function putDirections(
  sheet: Sheet,
  directions: { readonly lower: string; readonly higher: string },
  middle: number,
  page: PageSize,
): void {
  const style = { size: page.noteSize, face: 'semibold', fill: palette.ink } as const;
  const sides = [
    { text: `\u2190\u00a0${directions.lower}`, x: middle - 5, room: middle - 5 - page.margin, anchor: 'end' },
    {
      text: `${directions.higher}\u00a0\u2192`,
      x: middle + 5,
      room: page.width - page.margin - middle - 5,
      anchor: 'start',
    },
  ] as const;
  let deepest = 0;
  for (const { text, x, room, anchor } of sides) {
    const lines = wrapText(text, Math.max(room, 24), style.size, style.face);
    for (const [index, line] of lines.entries())
      put(sheet, line, x, sheet.y + page.noteSize + index * page.lineHeight, { ...style, anchor });
    deepest = Math.max(deepest, lines.length);
  }
  sheet.y += deepest * page.lineHeight + 3;
}
