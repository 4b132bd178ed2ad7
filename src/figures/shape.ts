export type Attributes = Readonly<Record<string, string | number | undefined>>;

const svgNamespace = 'http://www.w3.org/2000/svg';

/** Makes one SVG element; attributes that are undefined are left out, strings among the children are text. */
export function shape(
  document: Document,
  name: string,
  attributes: Attributes = {},
  children: readonly (SVGElement | string)[] = [],
): SVGElement {
  const element = document.createElementNS(svgNamespace, name) as SVGElement;
  for (const [key, value] of Object.entries(attributes))
    if (value !== undefined) element.setAttribute(key, String(value));
  for (const child of children)
    element.appendChild(typeof child === 'string' ? document.createTextNode(child) : child);
  return element;
}

/** Where marks are drawn: the position scale in points, the document, and ids that do not clash on a page. */
export interface Canvas {
  readonly document: Document;
  /** Points from the left edge for a position in axis units. */
  readonly x: (position: number) => number;
  readonly id: (name: string) => string;
}

/** A piece of a picture. It gets a canvas when the figure is put together. */
export type Mark = (canvas: Canvas) => SVGElement;
