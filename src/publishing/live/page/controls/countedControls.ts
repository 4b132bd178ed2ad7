import { sameDefinition } from '../../../../extraction/definitions.ts';
import { type MidGrooveRule, midGrooveRules } from '../../../../extraction/protocol.ts';
import type { Review } from '../../../../extraction/review.ts';
import { midGrooveNames } from '../../../../tables/outcomeTable.ts';
import type { LiveAnalysis } from '../../analysis/analyse.ts';
import type { LiveChange } from '../../state/changeState.ts';
import { plannedChoices } from '../../state/choices.ts';
import { checkWindow } from '../../state/hashKeys.ts';
import { vocabularyOf } from '../../state/vocabulary.ts';
import { element, type Part, setText } from '../element.ts';
import { controlGroup, selectField, tickList } from './field.ts';

/** What is counted: by which words, by whose eyes, when, and at which site. */
export function countedControls(
  review: Review,
  open: boolean,
  change: (change: LiveChange) => void,
): Part<LiveAnalysis> {
  const definitions = tickList('definitions', 'What counts as it, best first', true, (words) =>
    change({ kind: 'choose', choices: { definitions: words } }),
  );
  const assessors = tickList('assessors', 'Who looked, best first', true, (words) =>
    change({ kind: 'choose', choices: { assessors: words } }),
  );
  const months = monthsField((windowMonths) => change({ kind: 'choose', choices: { windowMonths } }));
  const midGroove = selectField<MidGrooveRule>(
    'mid-groove',
    'Arms fixed in the middle of the groove',
    (rule) => change({ kind: 'choose', choices: { midGroove: rule } }),
  );
  return {
    node: controlGroup(
      'What is counted',
      open,
      assessors.node,
      definitions.node,
      months.node,
      midGroove.node,
    ),
    update(analysis) {
      const { outcome, choices } = analysis;
      const words = vocabularyOf(review, outcome);
      const rows = review.events.filter((row) => row.outcome === outcome.id);
      const used = (name: 'definition' | 'assessor') => (word: string) => {
        const count = rows.filter((row) => sameDefinition(word, row[name])).length;
        return count === 0 ? 'none in the sheet' : `${count} ${count === 1 ? 'row' : 'rows'}`;
      };
      definitions.update({ chosen: choices.definitions, all: words.definitions, detail: used('definition') });
      assessors.update({ chosen: choices.assessors, all: words.assessors, detail: used('assessor') });
      months.update({
        window: choices.windowMonths,
        planned: plannedChoices(review.protocol, outcome).windowMonths,
      });
      midGroove.update({
        value: choices.midGroove,
        options: midGrooveRules.map((value) => ({ value, name: midGrooveNames[value] })),
      });
    },
  };
}

interface Months {
  readonly window: { readonly minimum: number; readonly maximum: number } | null;
  readonly planned: { readonly minimum: number; readonly maximum: number } | null;
}

/** Two numbers of months, or any time. What makes no window is said and not used. */
function monthsField(choose: (window: Months['window']) => void): Part<Months> {
  const box = (id: string, label: string) =>
    element('input', {
      id,
      type: 'number',
      min: 0,
      max: 600,
      step: 1,
      inputmode: 'numeric',
      'aria-label': label,
    });
  const from = box('months-from', 'From month');
  const to = box('months-to', 'To month');
  const any = element('input', { id: 'months-any', type: 'checkbox' });
  const why = element('p', { class: 'why', role: 'status' });
  let planned: Months['planned'] = null;
  const read = (): void => {
    const window = checkWindow(from.valueAsNumber, to.valueAsNumber);
    setText(why, window === undefined ? 'Give two numbers of months from 0 to 600, the smaller first.' : '');
    if (window !== undefined) choose(window);
  };
  from.addEventListener('change', read);
  to.addEventListener('change', read);
  any.addEventListener('change', () =>
    choose(any.checked ? null : (planned ?? { minimum: 0, maximum: 600 })),
  );
  return {
    node: element(
      'fieldset',
      { class: 'field' },
      element('legend', {}, 'Months after the operation'),
      element('p', { class: 'months' }, from, ' to ', to),
      element('p', { class: 'tick-line' }, any, element('label', { for: 'months-any' }, 'any time')),
      why,
    ),
    update(months) {
      planned = months.planned;
      const { window } = months;
      any.checked = window === null;
      from.disabled = to.disabled = window === null;
      for (const [input, value] of [
        [from, window?.minimum],
        [to, window?.maximum],
      ] as const) {
        const text = value === undefined ? '' : String(value);
        if (input.value !== text) input.value = text;
      }
      setText(why, '');
    },
  };
}
