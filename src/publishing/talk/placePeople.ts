import { peoplePerRow } from '../../figures/marks/peopleDots.ts';
import { palette, siteColours } from '../../figures/palette.ts';
import { type PeopleGroup, peopleKey } from '../../figures/peopleGrid.ts';
import { slideTextWidth, wrapSlideText } from '../../figures/slideText.ts';
import type { Box, Placed } from './placed.ts';
import { placeText } from './placeText.ts';
import { lineSpacing, smallest } from './slideGeometry.ts';

const line = smallest * lineSpacing;
const siteMark = 14;
const gap = 24;

/** Squares of people side by side, their words above and one key below. */
export function placePeople(
  groups: readonly PeopleGroup[],
  description: string,
  box: Box,
): readonly Placed[] {
  const count = Math.max(1, groups.length);
  const width = (box.width - gap * (count - 1)) / count;
  const answer = 22;
  const placed: Placed[] = [];
  const linesOf = (text: string, size: number, bold: boolean) =>
    wrapSlideText(text, width, size, bold).length;
  const wordHeight = (group: PeopleGroup): number =>
    group.lines.reduce(
      (sum, text, at) =>
        sum +
        (at === 0
          ? linesOf(text, answer, true) * answer * lineSpacing
          : linesOf(text, smallest, false) * line),
      0,
    );
  const nameLines = Math.max(
    ...groups.map(({ name }) => wrapSlideText(name, width - siteMark, smallest, true).length),
    1,
  );
  const words = Math.max(0, ...groups.map(wordHeight));
  const squareTop = box.top + nameLines * line + words + 8;
  const room = box.top + box.height - line - 8 - squareTop;
  for (const [index, group] of groups.entries()) {
    const left = box.left + index * (width + gap);
    const colour = group.site === undefined ? palette.comparison : siteColours[group.site];
    const inset = group.site === undefined ? 0 : siteMark;
    if (group.site !== undefined)
      placed.push({
        kind: 'site',
        site: group.site,
        box: { left, top: box.top + 2, width: siteMark, height: line - 4 },
      });
    placed.push(
      placeText(
        'label',
        group.name,
        { left: left + inset, top: box.top, width: width - inset, height: nameLines * line },
        { size: smallest, face: 'bold', colour },
      ),
    );
    let y = box.top + nameLines * line;
    for (const [at, text] of group.lines.entries()) {
      const size = at === 0 ? answer : smallest;
      const height = linesOf(text, size, at === 0) * size * lineSpacing;
      placed.push(
        placeText(
          'label',
          text,
          { left, top: y, width, height },
          { size, face: at === 0 ? 'bold' : 'regular' },
        ),
      );
      y += height;
    }
    if (group.people === undefined) continue;
    const perRow = peoplePerRow(group.people.base);
    const rows = group.people.base / perRow;
    const step = Math.max(1, Math.min(width / perRow, room / rows));
    placed.push({
      kind: 'people',
      people: group.people,
      colour,
      description: `${group.name}: ${group.lines.join(', ')}. ${index === 0 ? description : ''}`.trim(),
      box: { left, top: squareTop, width: perRow * step, height: rows * step },
    });
  }
  placed.push(...keyAt(box, groups));
  return placed;
}

function keyAt(box: Box, groups: readonly PeopleGroup[]): readonly Placed[] {
  if (groups.every(({ people }) => people === undefined)) return [];
  const fine = groups.some(({ people }) => people?.base === 1000);
  const top = box.top + box.height - line;
  let left = box.left;
  return peopleKey.flatMap(({ kind, text, short }) => {
    const words = box.width < 600 ? short : text;
    const width = slideTextWidth(words, smallest) + 2;
    const mark: Placed = {
      kind: 'key',
      mark: kind,
      fine,
      box: { left, top: top + 3, width: 16, height: 16 },
    };
    const label = placeText(
      'label',
      words,
      { left: left + 21, top, width, height: line },
      { size: smallest, colour: palette.quiet },
    );
    left += 21 + width + 22;
    return [mark, label];
  });
}
