import { element, type Part, setText } from '../element.ts';

/** One option of a list: disabled where it cannot be had, with the reason in words. */
export interface Option<Value extends string> {
  readonly value: Value;
  readonly name: string;
  /** Why it cannot be chosen now. */
  readonly unfit?: string | undefined;
}

/** What a list shows now. */
export interface SelectState<Value extends string> {
  readonly value: Value;
  readonly options: readonly Option<Value>[];
  /** Why nothing can be chosen here now. */
  readonly unfit?: string | undefined;
}

/** A labelled list to choose one thing from. The reasons why something cannot be chosen stand under it. */
export function selectField<Value extends string>(
  id: string,
  label: string,
  choose: (value: Value) => void,
): Part<SelectState<Value>> {
  const list = element('select', { id, 'aria-describedby': `${id}-why` });
  list.addEventListener('change', () => choose(list.value as Value));
  const why = element('p', { id: `${id}-why`, class: 'why' });
  let shown = '';
  return {
    node: element('div', { class: 'field' }, element('label', { for: id }, label), list, why),
    update({ value, options, unfit }) {
      const wanted = JSON.stringify(options);
      if (wanted !== shown) {
        shown = wanted;
        list.replaceChildren(
          ...options.map((option) =>
            element(
              'option',
              { value: option.value, disabled: option.unfit !== undefined },
              option.unfit === undefined ? option.name : `${option.name} (not now)`,
            ),
          ),
        );
      }
      list.value = value;
      list.disabled = unfit !== undefined;
      const reasons = unfit === undefined ? options.flatMap((option) => option.unfit ?? []) : [unfit];
      setText(why, [...new Set(reasons)].join(' '));
      why.hidden = reasons.length === 0;
    },
  };
}

/** What a list of ticks shows now. */
export interface TickState {
  readonly chosen: readonly string[];
  readonly all: readonly string[];
  /** Said after a word, such as how many rows use it. */
  readonly detail: (word: string) => string;
}

/**
 * A list of words to tick. In an ordered one those that count stand first, in the order in which they count, and each
 * can be moved up. The last one cannot be unticked, because nothing would be left.
 */
export function tickList(
  id: string,
  legend: string,
  ordered: boolean,
  choose: (words: readonly string[]) => void,
): Part<TickState> {
  const list = element('ul', { class: 'ticks' });
  const node = element('fieldset', { id, class: 'field' }, element('legend', {}, legend), list);
  let shown = '';
  return {
    node,
    update({ chosen, all, detail }) {
      const words = ordered ? [...chosen, ...all.filter((word) => !chosen.includes(word))] : all;
      const wanted = JSON.stringify([chosen, words.map(detail), words]);
      if (wanted === shown) return;
      shown = wanted;
      const focused = document.activeElement?.id;
      list.replaceChildren(
        ...words.map((word) => {
          const place = chosen.indexOf(word);
          const key = `${id}-${all.indexOf(word)}`;
          const box = element('input', {
            type: 'checkbox',
            id: key,
            disabled: place >= 0 && chosen.length === 1,
            onChange: () => choose(place >= 0 ? chosen.filter((other) => other !== word) : [...chosen, word]),
          });
          box.checked = place >= 0;
          const up = element(
            'button',
            {
              type: 'button',
              id: `${key}-up`,
              class: 'small',
              'aria-label': `Prefer ${word} to ${chosen[place - 1] ?? ''}`,
              onClick: () => {
                const order = [...chosen];
                order.splice(place - 1, 2, word, chosen[place - 1]!);
                choose(order);
              },
            },
            'prefer',
          );
          return element(
            'li',
            {},
            box,
            element('label', { for: key }, word, ' ', element('span', { class: 'detail' }, detail(word))),
            ordered && place > 0 ? up : undefined,
          );
        }),
      );
      if (focused?.startsWith(`${id}-`)) {
        const target =
          document.getElementById(focused) ?? document.getElementById(focused.replace(/-up$/, ''));
        target?.focus();
      }
    },
  };
}

/** A group of controls that folds away. */
export function controlGroup(name: string, open: boolean, ...parts: readonly HTMLElement[]): HTMLElement {
  return element(
    'details',
    { class: 'group', open },
    element('summary', {}, name),
    element('div', { class: 'group-body' }, ...parts),
  );
}
