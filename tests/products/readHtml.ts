import { parseHTML } from 'linkedom';
import { headlinesIn, limitsAlone } from './headline.ts';
import type { ReadProduct, Said } from './readProduct.ts';

/** A page read back: what its marks say, and the values with intervals that stand in none. */
export function readHtml(product: string, html: string): ReadProduct {
  const { document } = parseHTML(html);
  return readElements(product, (document as unknown as Document).documentElement);
}

/** The same of elements at hand: a page, or a picture. What stands in a fold is not read. */
export function readElements(product: string, root: Element): ReadProduct {
  const marked: Said[] = [];
  const bare: Said[] = [];
  let where = '';
  const visit = (element: Element, beside: boolean): void => {
    const name = element.tagName.toLowerCase();
    if (notRead.has(name) || element.hasAttribute('hidden')) return;
    if (name === 'svg') {
      readPicture(element, beside, marked, bare);
      return;
    }
    const aside = beside || element.hasAttribute('data-beside');
    if (/^(?:h\d|caption|figcaption)$/.test(name)) where = textOf(element);
    const answer = element.getAttribute('data-answer');
    if (answer !== null)
      marked.push({ where, answer, text: textOf(element), kind: name === 'tr' ? 'row' : 'words' });
    if (!aside && element.closest('[data-answer]') === null)
      for (const text of bareIn(ownText(element), name)) bare.push({ where, text });
    for (const each of element.children) visit(each, aside);
  };
  visit(root, false);
  return { product, marked, bare };
}

const notRead = new Set(['script', 'style', 'template', 'details', 'nav', 'head']);

/** A picture: groups and texts with an answer, and texts without; its description may repeat what they print. */
function readPicture(svg: Element, beside: boolean, marked: Said[], bare: Said[]): void {
  const where = svg.querySelector('title')?.textContent ?? 'picture';
  const told: string[] = [];
  for (const element of svg.querySelectorAll('[data-answer], [data-beside]')) {
    const answer = element.getAttribute('data-answer');
    const text = textOf(element);
    told.push(text);
    if (answer !== null) marked.push({ where, answer, text, kind: 'row', inPicture: true });
  }
  if (beside || svg.closest('[data-beside]') !== null) return;
  for (const text of svg.querySelectorAll('text')) {
    if (text.closest('[data-answer], [data-beside]') !== null) continue;
    for (const found of bareIn(text.textContent ?? '', 'text')) bare.push({ where, text: found });
  }
  const description = svg.querySelector('desc')?.textContent ?? '';
  for (const { text, value, lower, upper } of headlinesIn(description))
    if (
      !told.some((each) =>
        [value, lower, upper].every((number) => wordsOf(each).includes(number.replace(/\s*%$/, ''))),
      )
    )
      bare.push({ where: `${where}, description`, text });
}

const wordsOf = (text: string): readonly string[] => text.split(/[\s|()\u2013;,]+/);

const bareIn = (text: string, name: string): readonly string[] => {
  const found = headlinesIn(text).map((each) => each.text);
  if (found.length > 0) return found;
  return /^(?:td|th|text)$/.test(name) && limitsAlone.test(text.trim()) ? [text.trim()] : [];
};

const textOf = (element: Element): string => {
  const cells = [...element.querySelectorAll('td, th, text')];
  const parts = cells.length === 0 ? [element] : cells;
  return parts
    .map((part) => (part.textContent ?? '').replace(/\s+/g, ' ').trim())
    .filter((part) => part !== '')
    .join(' | ');
};

/** Words of an element with those of its inline children; a mark, a list or a table within it leaves a gap. */
function ownText(element: Element): string {
  const words = (node: ChildNode): string => {
    if (node.nodeType === 3) return node.textContent ?? '';
    if (node.nodeType !== 1) return '';
    const inner = node as Element;
    return inline.has(inner.tagName.toLowerCase()) && !inner.hasAttribute('data-answer')
      ? [...inner.childNodes].map(words).join('')
      : '\n';
  };
  return [...element.childNodes]
    .map(words)
    .join('')
    .replace(/[^\S\n]+/g, ' ')
    .trim();
}

const inline = new Set([
  'a',
  'strong',
  'em',
  'b',
  'i',
  'sup',
  'sub',
  'span',
  'code',
  'q',
  'abbr',
  'small',
  'output',
]);
