/**
 * Size of a figure on a page, in mm: its own width, or less where it would be wider or higher than the room.
 *
 * @throws RangeError for a picture without a viewBox
 */
export function pictureSize(
  svg: string,
  widest: number,
  highest: number,
): { readonly width: number; readonly height: number } {
  const box =
    /<svg[^>]*\sviewBox="([^"]+)"/
      .exec(svg)?.[1]
      ?.trim()
      .split(/[\s,]+/)
      .map(Number) ?? [];
  const [, , across = 0, down = 0] = box;
  if (!(across > 0 && down > 0)) {
    throw new RangeError(`a figure must have a viewBox, received ${svg.slice(0, 80)}`);
  }
  const own = Number(/<svg[^>]*\swidth="([\d.]+)mm"/.exec(svg)?.[1] ?? widest);
  const width = Math.min(own, widest, (highest * across) / down);
  return { width, height: (width * down) / across };
}
