import type { PeopleBase } from '../effects/peopleAmong.ts';
import type { ClassifiedSite } from '../extraction/site.ts';
import { drawSheet } from './drawSheet.ts';
import {
  type FigureOptions,
  figureOptionNames,
  refuseUnknownOptions,
  resolveFigureOptions,
} from './figureOptions.ts';
import { wrapText } from './fitText.ts';
import { paragraph } from './label.ts';
import { peopleDots, peoplePerRow } from './marks/peopleDots.ts';
import { siteGlyph, siteGlyphWidth } from './marks/siteGlyph.ts';
import { palette, siteColours } from './palette.ts';
import { put, startSheet } from './sheet.ts';
import { textWidth } from './textWidth.ts';

/** One square of people and the words beside it. */
export interface PeopleGroup {
  readonly name: string;
  /** Gives the colour and the mark of the site. */
  readonly site?: ClassifiedSite;
  /** Undefined where nothing is known: the words say so in place of a square. */
  readonly people: { readonly base: PeopleBase; readonly filled: number; readonly upTo: number } | undefined;
  /** The answer first: `about 5 in 100`, then its range, then what the next hospital could see. */
  readonly lines: readonly string[];
}

export interface PeopleGridOptions extends FigureOptions {
  /** Notes under the picture, such as why the squares are no comparison. */
  readonly notes?: readonly string[];
}

/** What the three marks mean, in the order of the key. */
export const peopleKey = [
  { kind: 'expected', text: 'expected', short: 'expected' },
  { kind: 'possible', text: 'possible, up to the upper limit', short: 'possible' },
  { kind: 'rest', text: 'the rest', short: 'the rest' },
] as const;

/** One mark of the key. */
export const peopleKeyMark = (
  kind: (typeof peopleKey)[number]['kind'],
  left: number,
  top: number,
  step: number,
  fine: boolean,
) =>
  peopleDots({
    people: 1,
    filled: kind === 'expected' ? 1 : 0,
    upTo: kind === 'rest' ? 0 : 1,
    perRow: 1,
    left,
    top,
    step,
    colour: palette.ink,
    fine,
  });

/**
 * How often is that, seen as people?
 *
 * One square of 100 (or 1,000) a group: a full disc for each expected event, a ring with a dot for each that may come
 * up to the upper limit, small empty rings for the rest. The words beside each square say the same in numbers.
 *
 * @throws RangeError for an unknown option, a width outside 90 to 400 mm, or people that do not fit their square
 * @example
 * peopleGrid(peopleOfPools(pools), { width: '190mm', notes: [pools.notAComparison] })
 */
export function peopleGrid(groups: readonly PeopleGroup[], options: PeopleGridOptions = {}): string {
  refuseUnknownOptions('peopleGrid', options, [...figureOptionNames, 'notes']);
  for (const { name, people } of groups) checkPeople(name, people);
  const resolved = resolveFigureOptions(options, { title: 'How often, seen as people', idPrefix: 'people' });
  const { page } = resolved;
  const sheet = startSheet(resolved);
  const columns = page.narrow ? 2 : 4;
  const gap = page.narrow ? 12 : 16;
  const room = (page.width - 2 * page.margin - gap * (columns - 1)) / columns;
  const side = Math.min(room, page.narrow ? 112 : 104);
  const line = page.lineHeight + 1;
  const linesOf = ({ lines }: PeopleGroup): number =>
    lines.reduce((sum, text) => sum + wrapText(text, room, page.textSize).length, 0);
  for (let start = 0; start < groups.length; start += columns) {
    const row = groups.slice(start, start + columns);
    const top = sheet.y;
    // Squares of a row start level, whatever the words above them take.
    const square = top + page.headingSize + 8 + Math.max(...row.map(linesOf)) * line;
    let bottom = square;
    for (const [index, group] of row.entries()) {
      const left = page.margin + index * (room + gap);
      const colour = group.site === undefined ? palette.comparison : siteColours[group.site];
      const inset = group.site === undefined ? 0 : siteGlyphWidth;
      if (group.site !== undefined)
        sheet.marks.push(siteGlyph(group.site, left, top + 0.62 * page.headingSize));
      put(sheet, group.name, left + inset, top + page.headingSize, {
        size: page.headingSize,
        face: 'bold',
        fill: colour,
        room: room - inset,
      });
      let y = top + page.headingSize + 5;
      for (const [at, words] of group.lines.entries()) {
        const text = paragraph(words, left, y + page.textSize, {
          size: page.textSize,
          face: at === 0 ? 'bold' : 'regular',
          room,
          lineHeight: line,
        });
        sheet.marks.push(...text.marks);
        y += text.lines * line;
      }
      if (group.people === undefined) continue;
      const { base, filled, upTo } = group.people;
      const perRow = peoplePerRow(base);
      const step = side / perRow;
      sheet.marks.push(peopleDots({ people: base, filled, upTo, perRow, left, top: square, step, colour }));
      bottom = Math.max(bottom, square + (base / perRow) * step);
    }
    sheet.y = bottom + 10;
  }
  const fine = groups.some(({ people }) => people?.base === 1000);
  let x = page.margin;
  for (const { kind, text } of peopleKey) {
    sheet.marks.push(peopleKeyMark(kind, x, sheet.y, 10, fine));
    const words = paragraph(text, x + 13, sheet.y + 8, {
      size: page.noteSize,
      room: page.width,
      lineHeight: page.lineHeight,
    });
    sheet.marks.push(...words.marks);
    x += 13 + textWidth(text, page.noteSize) + 14;
  }
  sheet.y += 15;
  const words = groups.map(({ name, lines }) => `${name}: ${lines.join(', ')}.`).join(' ');
  return drawSheet(sheet, resolved, {
    notes: options.notes ?? [],
    description: `Squares of people. ${words}`,
  });
}

/** Refuses people that do not fit their square. */
export function checkPeople(name: string, people: PeopleGroup['people']): void {
  if (people === undefined) return;
  const { base, filled, upTo } = people;
  const whole = Number.isInteger(filled) && Number.isInteger(upTo);
  if (!whole || filled < 0 || upTo < filled || upTo > base)
    throw new RangeError(
      `people of ${name}: filled and upTo must be whole, in order and from 0 to ${base}, received ${filled} and ${upTo}`,
    );
}
