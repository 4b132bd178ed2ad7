import { escape as escapeText } from 'html-escaper';

/** Control characters other than tab and line ends, and halves of surrogate pairs: XML 1.0 has no place for them. */
const notXml = /(?![\t\n\r])\p{Cc}|[\ufffe\uffff]|\p{Surrogate}/gu;
/** Text without any of these, told at a glance: almost all of it. */
const surelyXml = /^[\t\n\r -~\u00a0-\ud7ff\ue000-\ufffd]*$/;
const xmlText = (text: string): string =>
  escapeText(surelyXml.test(text) ? text : text.replace(notXml, '\ufffd'));

const geometry = new Set(
  'x y x1 x2 y1 y2 cx cy r rx ry dx dy d width height points transform viewBox font-size stroke-width'.split(
    ' ',
  ),
);
const decimals = /-?\d*\.\d{4,}(e-?\d+)?|-?\d+(\.\d+)?e-?\d+/g;
const roundNumbers = (text: string): string =>
  text.replace(decimals, (number) => String(Math.round(Number(number) * 1000) / 1000 || 0));

/**
 * Writes an SVG element as text that is valid XML and the same on every machine: attributes in
 * the order of the alphabet, geometry rounded to three decimals, text escaped. The DOM's own serialisers
 * differ between implementations, which snapshots would show.
 */
export function serialiseSvg(element: Element): string {
  const name = element.localName;
  const attributes = [...element.attributes]
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .map(({ name: key, value }) => ` ${key}="${xmlText(geometry.has(key) ? roundNumbers(value) : value)}"`)
    .join('');
  const children = [...element.childNodes].map((node) =>
    node.nodeType === 1 ? serialiseSvg(node as Element) : xmlText(node.textContent ?? ''),
  );
  if (children.length === 0) return `<${name}${attributes}/>`;
  const block = ['svg', 'g', 'defs', 'pattern'].includes(name);
  return `<${name}${attributes}>${block ? `\n${children.join('\n')}\n` : children.join('')}</${name}>`;
}
