import * as Plot from '@observablehq/plot';
import { defaultDocument } from './defaultDocument.ts';
import { plainLine } from './fitText.ts';
import { palette } from './palette.ts';
import { serialiseSvg } from './serialiseSvg.ts';
import { type Canvas, type Mark, shape } from './shape.ts';

export const figureFont = "'Source Sans 3', 'Source Sans Pro', 'Helvetica Neue', Arial, sans-serif";

export interface Drawing {
  /** Width in millimetres and size in points. */
  readonly millimetres: number;
  readonly width: number;
  readonly height: number;
  /** The position scale: axis units and the points they are spread over. */
  readonly domain: readonly [number, number];
  readonly range: readonly [number, number];
  readonly marks: readonly Mark[];
  readonly title: string;
  readonly description: string;
  readonly idPrefix: string;
  readonly document: Document | undefined;
}

/**
 * Puts a figure together: Plot supplies the scale and the layers, one unit is one point, and the root says what
 * the picture shows to those who cannot see it.
 */
export function drawFigure(drawing: Drawing): string {
  const document = drawing.document ?? defaultDocument();
  const id = (name: string): string => `${drawing.idPrefix}-${name}`;
  const svg = Plot.plot({
    document,
    width: drawing.width,
    height: drawing.height,
    margin: 0,
    x: { type: 'linear', domain: [...drawing.domain], range: [...drawing.range], axis: null },
    y: { type: 'identity', axis: null },
    marks: drawing.marks.map(
      (mark): Plot.RenderFunction =>
        (_index, scales) => {
          const canvas: Canvas = { document, id, x: (position) => scales.x?.(position) ?? 0 };
          return mark(canvas);
        },
    ),
  });
  const millimetres = (points: number): string =>
    `${Math.round((drawing.millimetres * points * 1000) / drawing.width) / 1000}mm`;
  const root = shape(document, 'svg', {
    xmlns: 'http://www.w3.org/2000/svg',
    width: millimetres(drawing.width),
    height: millimetres(drawing.height),
    viewBox: `0 0 ${drawing.width} ${drawing.height}`,
    role: 'img',
    'aria-labelledby': `${id('title')} ${id('description')}`,
    'font-family': figureFont,
  });
  root.append(
    shape(document, 'title', { id: id('title') }, [plainLine(drawing.title)]),
    shape(document, 'desc', { id: id('description') }, [plainLine(drawing.description)]),
    shape(document, 'rect', {
      class: 'paper',
      width: drawing.width,
      height: drawing.height,
      fill: palette.paper,
    }),
    ...[...svg.children].filter(({ localName }) => localName !== 'style'),
  );
  return `${serialiseSvg(root)}\n`;
}
