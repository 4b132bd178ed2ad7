import { faceOfText, shownText } from './pictureText.ts';

type Pdf = PDFKit.PDFDocument;

/** Attributes that say how an element is painted. */
const paint = ['fill', 'fill-opacity', 'stroke', 'stroke-width', 'stroke-dasharray'] as const;
/** What figures are drawn with; `class`, `id` and names for those who cannot see carry no ink. */
const vocabulary: Readonly<Record<string, readonly string[]>> = {
  g: [],
  rect: ['x', 'y', 'width', 'height', 'rx', ...paint],
  circle: ['cx', 'cy', 'r', ...paint],
  path: ['d', ...paint],
  text: ['x', 'y', 'font-size', 'font-weight', 'font-style', 'text-anchor', 'fill'],
};
const withoutInk = new Set(['class', 'id', 'role']);
const notDrawn = new Set(['title', 'desc', 'defs', 'style']);

const number = (element: Element, name: string, fallback = 0): number => {
  const value = Number(element.getAttribute(name) ?? fallback);
  if (!Number.isFinite(value))
    throw new RangeError(
      `<${element.localName}> ${name} must be a number, received ${element.getAttribute(name)}`,
    );
  return value;
};

function refuseUnknown(element: Element): void {
  const known = vocabulary[element.localName];
  if (known === undefined)
    throw new RangeError(
      `cannot write <${element.localName}> into a PDF; known are ${Object.keys(vocabulary).join(', ')}`,
    );
  for (const { name } of element.attributes)
    if (
      !known.includes(name) &&
      !withoutInk.has(name) &&
      !name.startsWith('aria-') &&
      !name.startsWith('data-')
    )
      throw new RangeError(
        `cannot write ${name} of <${element.localName}> into a PDF; known are ${known.join(', ')}`,
      );
}

/** Draws one element of a figure and what it holds. */
export function drawElement(pdf: Pdf, element: Element, root: Element): void {
  if (notDrawn.has(element.localName)) return;
  refuseUnknown(element);
  if (element.localName === 'g') for (const child of element.children) drawElement(pdf, child, root);
  else if (element.localName === 'text') drawText(pdf, element);
  else drawShape(pdf, element, root);
}

/** One line from its baseline; the anchor is reckoned with the width the font itself gives. */
function drawText(pdf: Pdf, element: Element): void {
  const text = shownText(element);
  const anchor = element.getAttribute('text-anchor') ?? 'start';
  const share = { start: 0, middle: 0.5, end: 1 }[anchor];
  if (share === undefined)
    throw new RangeError(`text-anchor must be start, middle or end, received ${anchor}`);
  pdf
    .font(faceOfText(element.getAttribute('font-weight'), element.getAttribute('font-style')))
    .fontSize(number(element, 'font-size'))
    .fillColor(element.getAttribute('fill') ?? '#000000', 1);
  pdf.text(text, number(element, 'x') - share * pdf.widthOfString(text), number(element, 'y'), {
    lineBreak: false,
    baseline: 'alphabetic',
  });
}

function outline(pdf: Pdf, element: Element): void {
  if (element.localName === 'circle')
    pdf.circle(number(element, 'cx'), number(element, 'cy'), number(element, 'r'));
  else if (element.localName === 'path') pdf.path(element.getAttribute('d') ?? '');
  else {
    const [x, y] = [number(element, 'x'), number(element, 'y')];
    const [width, height] = [number(element, 'width'), number(element, 'height')];
    const radius = Math.min(number(element, 'rx'), width / 2, height / 2);
    if (radius > 0) pdf.roundedRect(x, y, width, height, radius);
    else pdf.rect(x, y, width, height);
  }
}

function drawShape(pdf: Pdf, element: Element, root: Element): void {
  const fill = element.getAttribute('fill') ?? '#000000';
  const stroke = element.getAttribute('stroke') ?? 'none';
  const hatch = /^url\(#(.+)\)$/.exec(fill)?.[1];
  if (hatch !== undefined) drawHatch(pdf, element, root, hatch);
  const filled = fill !== 'none' && hatch === undefined;
  const stroked = stroke !== 'none';
  if (!filled && !stroked) return;
  if (filled) pdf.fillColor(fill, number(element, 'fill-opacity', 1));
  if (stroked) {
    pdf
      .strokeColor(stroke, 1)
      .lineWidth(number(element, 'stroke-width', 1))
      .lineCap('butt')
      .lineJoin('miter');
    const dashes = element.getAttribute('stroke-dasharray')?.split(/[ ,]+/).map(Number);
    if (dashes === undefined) pdf.undash();
    // A single figure is the length of dash and gap; pdfkit takes pairs.
    else pdf.dash((dashes.length % 2 === 1 ? [...dashes, ...dashes] : dashes) as unknown as number, {});
  }
  outline(pdf, element);
  if (filled && stroked) pdf.fillAndStroke(fill, stroke);
  else if (filled) pdf.fill();
  else pdf.stroke();
}

/**
 * Hatching as lines within the shape's outline: a tiled pattern would show seams on some printers. The pattern is
 * one upright stroke over a whole tile, turned; anything else is refused.
 */
function drawHatch(pdf: Pdf, element: Element, root: Element, id: string): void {
  const pattern = [...root.querySelectorAll('pattern')].find((candidate) => candidate.id === id);
  const line = pattern?.querySelector('path');
  const [, at, length] = /^M([\d.]+),0V([\d.]+)$/.exec(line?.getAttribute('d') ?? '') ?? [];
  const turn = /^rotate\((-?[\d.]+)\)$/.exec(pattern?.getAttribute('patternTransform') ?? 'rotate(0)')?.[1];
  const step = Number(pattern?.getAttribute('width'));
  if (
    pattern === undefined ||
    line === null ||
    line === undefined ||
    at === undefined ||
    turn === undefined ||
    !(step > 0) ||
    length !== pattern.getAttribute('height') ||
    element.localName !== 'rect'
  )
    throw new RangeError(
      `cannot write the pattern ${id} into a PDF: hatching is one upright line, turned, in a rect`,
    );
  const [left, top] = [number(element, 'x'), number(element, 'y')];
  const [right, bottom] = [left + number(element, 'width'), top + number(element, 'height')];
  const angle = (Number(turn) * Math.PI) / 180;
  const [cosine, sine] = [Math.cos(angle), Math.sin(angle)];
  const corners = [left, right].flatMap((x) =>
    [top, bottom].map((y) => ({ across: x * cosine + y * sine, along: y * cosine - x * sine })),
  );
  const [from, to] = [Math.min, Math.max].map((end) => end(...corners.map(({ across }) => across))) as [
    number,
    number,
  ];
  const [start, end] = [Math.min, Math.max].map((end) => end(...corners.map(({ along }) => along))) as [
    number,
    number,
  ];
  pdf.save();
  pdf.rect(left, top, right - left, bottom - top).clip();
  pdf
    .strokeColor(line.getAttribute('stroke') ?? '#000000', 1)
    .lineWidth(number(line, 'stroke-width', 1))
    .undash();
  for (
    let index = Math.floor((from - Number(at)) / step);
    Number(at) + index * step <= to + step;
    index += 1
  ) {
    const across = Number(at) + index * step;
    pdf.moveTo(across * cosine - start * sine, across * sine + start * cosine);
    pdf.lineTo(across * cosine - end * sine, across * sine + end * cosine);
  }
  pdf.stroke();
  pdf.restore();
}
