import { drawFigure } from '../../figures/drawFigure.ts';
import { label } from '../../figures/label.ts';
import { peopleDots, peoplePerRow } from '../../figures/marks/peopleDots.ts';
import { siteGlyph } from '../../figures/marks/siteGlyph.ts';
import { slideStyle } from '../../figures/mediaStyles.ts';
import { palette } from '../../figures/palette.ts';
import { peopleKeyMark } from '../../figures/peopleGrid.ts';
import { type Mark, shape } from '../../figures/shape.ts';
import type { LaidOutSlide, Placed } from './placed.ts';
import { cellPadding } from './placeTable.ts';
import { bulletIndent } from './placeText.ts';
import { lineSpacing, slideHeight, slideWidth } from './slideGeometry.ts';

/** Where the baseline of a line stands within its height. */
const baseline = 0.92;

const millimetresPerInch = 25.4;

/**
 * A slide as a picture of its own, at slide size: one unit is one point, text 18 pt or more.
 *
 * @example
 * renderPng(drawSlide(layOutTalk(talk)[0]!), { dotsPerInch: 144 })
 */
export function drawSlide(slide: LaidOutSlide, options: { readonly document?: Document } = {}): string {
  const words = slide.placed.flatMap(wordsOf);
  return drawFigure({
    millimetres: slideStyle.page.width * millimetresPerInch,
    width: slideWidth,
    height: slideHeight,
    domain: [0, slideWidth],
    range: [0, slideWidth],
    marks: slide.placed.flatMap(marksOf),
    title: slide.title,
    description: words.join(' '),
    idPrefix: `slide-${slide.id.replaceAll(/[^A-Za-z0-9-]/g, '-')}`,
    document: options.document,
  });
}

/** A picture of one thing by itself, its box the whole of it: for the pictures within a presentation. */
export function drawPlaced(placed: Extract<Placed, { kind: 'people' | 'site' | 'key' }>): string {
  const { width, height } = placed.box;
  const moved = { ...placed, box: { left: 0, top: 0, width, height } } as typeof placed;
  return drawFigure({
    millimetres: (width / 72) * millimetresPerInch,
    width,
    height,
    domain: [0, width],
    range: [0, width],
    marks: marksOf(moved),
    title: placed.kind === 'people' ? placed.description : placed.kind,
    description: placed.kind === 'people' ? placed.description : placed.kind,
    idPrefix: 'part',
    document: undefined,
  });
}

function wordsOf(placed: Placed): readonly string[] {
  if (placed.kind === 'text') return placed.paragraphs.map(({ text }) => text);
  if (placed.kind === 'table') return placed.rows.map((row) => row.map(({ text }) => text).join(', '));
  return [];
}

function marksOf(placed: Placed): readonly Mark[] {
  const { box } = placed;
  switch (placed.kind) {
    case 'text':
      return textMarks(placed);
    case 'table':
      return tableMarks(placed);
    case 'rule':
      return [lineMark(box.left, box.left + box.width, box.top, palette.hairline, 1)];
    case 'key':
      return [peopleKeyMark(placed.mark, box.left, box.top, box.width, placed.fine)];
    case 'site': {
      // The mark is drawn for small print; here it grows with its box.
      const scale = box.height / 13;
      const glyph = siteGlyph(placed.site, 0, 6.5);
      return [
        (canvas) =>
          shape(canvas.document, 'g', { transform: `translate(${box.left} ${box.top}) scale(${scale})` }, [
            glyph(canvas),
          ]),
      ];
    }
    case 'people': {
      const perRow = peoplePerRow(placed.people.base);
      return [
        peopleDots({
          people: placed.people.base,
          filled: placed.people.filled,
          upTo: placed.people.upTo,
          perRow,
          left: box.left,
          top: box.top,
          step: box.width / perRow,
          colour: placed.colour,
        }),
      ];
    }
  }
}

const lineMark =
  (from: number, to: number, y: number, stroke: string, width: number): Mark =>
  ({ document }) =>
    shape(document, 'path', {
      class: 'rule',
      d: `M${from},${y}H${to}`,
      stroke,
      'stroke-width': width,
      fill: 'none',
    });

function textMarks({ box, paragraphs, align }: Extract<Placed, { kind: 'text' }>): readonly Mark[] {
  const marks: Mark[] = [];
  let y = box.top;
  for (const { lines, size, face, colour, bullet, before } of paragraphs) {
    y += before;
    for (const [at, line] of lines.entries()) {
      const left = box.left + (bullet ? bulletIndent : 0);
      const style = { size, face, fill: colour } as const;
      if (bullet && at === 0) marks.push(label('•', box.left + 4, y + baseline * size, style));
      marks.push(
        align === 'right'
          ? label(line, box.left + box.width, y + baseline * size, { ...style, anchor: 'end' })
          : label(line, left, y + baseline * size, style),
      );
      y += size * lineSpacing;
    }
  }
  return marks;
}

function tableMarks(table: Extract<Placed, { kind: 'table' }>): readonly Mark[] {
  const { box, columns, rowHeights, rows, size } = table;
  const marks: Mark[] = [];
  let y = box.top;
  for (const [at, row] of rows.entries()) {
    let x = box.left;
    for (const [column, { lines, bold, align }] of row.entries()) {
      const width = columns[column] ?? 0;
      for (const [line, text] of lines.entries()) {
        const down = y + cellPadding.end + (line * lineSpacing + baseline) * size;
        const style = { size, face: bold ? ('bold' as const) : ('regular' as const) };
        marks.push(
          align === 'right'
            ? label(text, x + width - cellPadding.side, down, { ...style, anchor: 'end' })
            : label(text, x + cellPadding.side, down, style),
        );
      }
      x += width;
    }
    y += rowHeights[at] ?? 0;
    const [colour, width] = at === 0 ? [palette.ink, 1.2] : [palette.hairline, 0.8];
    marks.push(lineMark(box.left, box.left + box.width, y, colour, width));
  }
  return marks;
}
