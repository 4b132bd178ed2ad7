import { parseHTML } from 'linkedom';
import { headlinesIn, limitsAlone } from './headline.ts';
import type { ReadProduct, Said } from './readProduct.ts';

/** A page read back: what its marks say, and the values with intervals that stand in none. */
export function readHtml(product: string, html: string): ReadProduct {
  const { document } = parseHTML(html);
  return readElements(product, document as unknown as Document);
}

/** The same of a document that is already one: a page in the browser, or a picture. */
export function readElements(product: string, document: Document): ReadProduct {
  const body: Element = document.body ?? document.documentElement;
  const marked: Said[] = [];
  const bare: Said[] = [];
  let place = '';
  const visit = (element: Element): void => {
    const name = element.tagName.toLowerCase();
    if (['script', 'style', 'template', 'details', 'nav', 'head'].includes(name)) return;
    if (element.hasAttribute('data-exploration') || element.hasAttribute('hidden')) return;
    if (/^(?:h\d|caption|figcaption)$/.test(name)) place = textOf(element);
    if (name === 'title' && element.closest('svg')) place = textOf(element);
    const answer = element.getAttribute('data-answer');
    if (answer !== null) marked.push({ where: place, answer, text: textOf(element) });
    const inner = [...element.children];
    // Running text: an element that holds words of its own.
    if ([...element.childNodes].some((node) => node.nodeType === 3 && node.textContent?.trim())) {
      const own = ownText(element);
      if (element.closest('[data-answer]') === null)
        for (const found of bareIn(own, name)) bare.push({ where: place, text: found });
    }
    for (const each of inner) visit(each);
  };
  visit(body);
  return { product, marked, bare };
}

const bareIn = (text: string, name: string): readonly string[] => {
  const found = headlinesIn(text).map((each) => each.text);
  if (found.length > 0) return found;
  return /^(?:td|th|text|tspan)$/.test(name) && limitsAlone.test(text.trim()) ? [text.trim()] : [];
};

const textOf = (element: Element): string => {
  const cells = [...element.querySelectorAll('td, th, text')];
  const text =
    cells.length === 0 ? (element.textContent ?? '') : cells.map((cell) => cell.textContent).join(' | ');
  return text.replace(/\s+/g, ' ').trim();
};

/** Words of an element with those of inline children, but a mark's left out and a gap in its place. */
function ownText(element: Element): string {
  const words = (node: Node): string => {
    if (node.nodeType === 3) return node.textContent ?? '';
    if (node.nodeType !== 1) return '';
    const inner = node as Element;
    if (inner.hasAttribute('data-answer')) return '\n';
    if (/^(?:table|ul|ol|details|script|style|svg)$/i.test(inner.tagName)) return '\n';
    return [...inner.childNodes].map(words).join('');
  };
  return [...element.childNodes]
    .map(words)
    .join('')
    .replace(/[^\S\n]+/g, ' ')
    .trim();
}
