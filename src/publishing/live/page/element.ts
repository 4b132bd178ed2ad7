import { splitAnswerMarks } from '../../../wording/answerMark.ts';
/** What an element can be given: attributes by name, `class`, and handlers as `onClick`. */
export type Attributes = Readonly<
  Record<string, string | number | boolean | undefined | ((event: Event) => void)>
>;

/**
 * Makes an element. Children that are text become text nodes, so that nothing a sheet says is ever read as HTML.
 *
 * @example
 * element('button', { type: 'button', onClick: undo }, 'Undo')
 */
export function element<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  attributes: Attributes = {},
  ...children: readonly (Node | string | undefined)[]
): HTMLElementTagNameMap[Name] {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === undefined || value === false) continue;
    if (typeof value === 'function') made.addEventListener(key.slice(2).toLowerCase(), value);
    else made.setAttribute(key, value === true ? '' : String(value));
  }
  made.append(...children.filter((child) => child !== undefined));
  return made;
}

/** A button that does one thing. */
export const button = (text: string, onClick: () => void, attributes: Attributes = {}): HTMLButtonElement =>
  element('button', { type: 'button', onClick, ...attributes }, text);

/**
 * Puts markup made by the library (a figure, a table) into an element. Both escape every text they hold; nothing else
 * may be passed here.
 */
export function putMarkup(place: Element, markup: string): void {
  place.innerHTML = markup;
}

/** Sets a text only when it changed, so that nothing that watches the element is woken for nothing. */
export function setText(place: Element, text: string): void {
  if (place.textContent !== text) place.textContent = text;
}

/** A part of the page that stays and is told when something changed. */
export interface Part<Told> {
  readonly node: HTMLElement;
  readonly update: (told: Told) => void;
}

/** A text as nodes: each part that prints an answer in an element that names it. */
export const markedNodes = (text: string): readonly (string | HTMLElement)[] =>
  splitAnswerMarks(text).map(({ text: words, answer }) =>
    answer === undefined ? words : element('span', { 'data-answer': answer }, words),
  );
