import { isReported } from '../../extraction/reported.ts';
import { wrapText } from '../fitText.ts';
import type { FlowBox, FlowLine } from '../flowBoxes.ts';
import { label } from '../label.ts';
import type { PageSize } from '../pageSize.ts';
import { palette, regionGreys } from '../palette.ts';
import { type Mark, shape } from '../shape.ts';
import { type FontFace, textWidth } from '../textWidth.ts';

const padding = 5;
const partIndent = 7;

/** A count as the standard writes it. */
export const countText = (count: number): string => `n\u00a0= ${count.toLocaleString('en-GB')}`;

interface SetLine {
  readonly texts: readonly string[];
  readonly count: string | undefined;
  readonly face: FontFace;
  readonly indent: number;
}

/** A box with its lines broken to its width; `height` tells how tall it is. */
export interface SetBox {
  readonly side: FlowBox['side'];
  readonly width: number;
  readonly height: number;
  readonly lines: readonly SetLine[];
}

function setLine({ text, count, part }: FlowLine, room: number, numberRoom: number, size: number): SetLine {
  const face = part === true ? 'regular' : 'semibold';
  const indent = part === true ? partIndent : 0;
  if (count !== undefined && !isReported(count)) {
    return {
      texts: wrapText(`${text}: ${count}`, room - indent, size, face),
      count: undefined,
      face,
      indent,
    };
  }
  return {
    texts: wrapText(text, room - indent - (count === undefined ? 0 : numberRoom), size, face),
    count: count === undefined ? undefined : countText(count),
    face,
    indent,
  };
}

/** Breaks a box's lines to a width. */
export function setBox({ side, lines }: FlowBox, width: number, page: PageSize): SetBox {
  const size = page.textSize;
  const room = width - 2 * padding - 3;
  const numbers = lines.flatMap(({ count }) =>
    count !== undefined && isReported(count) ? [textWidth(countText(count), size, 'semibold')] : [],
  );
  const numberRoom = Math.max(0, ...numbers) + 6;
  const set = lines.map((line) => setLine(line, room, numberRoom, size));
  const rows = set.reduce((sum, { texts }) => sum + texts.length, 0);
  return { side, width, lines: set, height: rows * (page.lineHeight + 0.6) + 2 * padding - 2 };
}

/** A box drawn with its top left corner at (left, top): what goes on has a dark edge, what falls out is grey. */
export const boxMark = (box: SetBox, left: number, top: number, page: PageSize): readonly Mark[] => {
  const on = box.side === 'on';
  const marks: Mark[] = [
    ({ document }) =>
      shape(document, 'rect', {
        class: on ? 'flow-on' : 'flow-out',
        x: left,
        y: top,
        width: box.width,
        height: box.height,
        fill: on ? palette.paper : regionGreys[1],
        stroke: on ? palette.quiet : undefined,
        'stroke-width': on ? 0.6 : undefined,
      }),
  ];
  if (on) {
    marks.push(({ document }) =>
      shape(document, 'rect', {
        class: 'flow-edge',
        x: left,
        y: top,
        width: 3,
        height: box.height,
        fill: palette.comparison,
      }),
    );
  }
  let y = top + padding + page.textSize * 0.8;
  const style = { size: page.textSize, fill: palette.ink };
  for (const { texts, count, face, indent } of box.lines) {
    if (count !== undefined)
      marks.push(label(count, left + box.width - padding, y, { ...style, face, anchor: 'end' }));
    for (const text of texts) {
      marks.push(label(text, left + padding + 3 + indent, y, { ...style, face }));
      y += page.lineHeight + 0.6;
    }
  }
  return marks;
};

/** A line through points that ends in an arrowhead. */
export const arrowMark =
  (...points: readonly (readonly [x: number, y: number])[]): Mark =>
  ({ document }) => {
    const [endX, endY] = points.at(-1)!;
    const [fromX, fromY] = points.at(-2)!;
    const length = Math.hypot(endX - fromX, endY - fromY) || 1;
    const [alongX, alongY] = [(endX - fromX) / length, (endY - fromY) / length];
    const corner = (side: number): string =>
      `${endX - 4.5 * alongX - side * 2.4 * alongY},${endY - 4.5 * alongY + side * 2.4 * alongX}`;
    return shape(document, 'g', { class: 'flow-arrow' }, [
      shape(document, 'path', {
        d: `M${points
          .slice(0, -1)
          .map(([x, y]) => `${x},${y}`)
          .join('L')}L${endX - 3 * alongX},${endY - 3 * alongY}`,
        stroke: palette.quiet,
        'stroke-width': 0.8,
        fill: 'none',
      }),
      shape(document, 'path', { d: `M${endX},${endY}L${corner(1)}L${corner(-1)}Z`, fill: palette.quiet }),
    ]);
  };
