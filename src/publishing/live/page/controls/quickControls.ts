import type { Review } from '../../../../extraction/review.ts';
import type { LiveAnalysis } from '../../analysis/analyse.ts';
import { biggestStudy } from '../../analysis/listStudies.ts';
import type { LiveChange } from '../../state/changeState.ts';
import { plannedChoices } from '../../state/choices.ts';
import { type AssessorShortcut, assessorShortcuts } from '../../state/vocabulary.ts';
import { button, element, type Part, setText } from '../element.ts';

/** The questions an audience asks, each one click: pressed again, it goes back to the protocol. */
export function quickControls(review: Review, change: (change: LiveChange) => void): Part<LiveAnalysis> {
  const assessors = element('div', { class: 'shortcuts' });
  const biggest = button(
    '',
    () => {
      const next = biggestStudy(now?.studies ?? []);
      if (next !== undefined) change({ kind: 'switch', studies: [next.study], on: false });
    },
    { id: 'leave-out-biggest' },
  );
  const all = button(
    'Put all studies back',
    () => {
      change({ kind: 'all-studies' });
      biggest.focus();
    },
    { id: 'all-studies' },
  );
  const trials = button(
    'Only trials',
    () => {
      const planned = plannedChoices(review.protocol, now!.outcome).designs;
      change({ kind: 'choose', choices: { designs: pressed(trials) ? planned : ['randomised trial'] } });
    },
    { id: 'only-trials' },
  );
  const careful = button(
    'Without low quality',
    () => change({ kind: 'choose', choices: { quality: pressed(careful) ? 'all' : 'without-low' } }),
    { id: 'without-low-quality' },
  );
  let now: LiveAnalysis | undefined;
  let shown: readonly AssessorShortcut[] = [];
  const isOn = ({ assessors: words, definitions }: AssessorShortcut): boolean =>
    now !== undefined && same(words, now.choices.assessors) && same(definitions, now.choices.definitions);
  const choose = (shortcut: AssessorShortcut): void => {
    const { assessors, definitions } = isOn(shortcut)
      ? plannedChoices(review.protocol, now!.outcome)
      : shortcut;
    change({ kind: 'choose', choices: { assessors, definitions } });
  };
  return {
    node: element(
      'section',
      { class: 'quick', 'aria-labelledby': 'quick' },
      element('h2', { id: 'quick' }, 'What if we count …'),
      assessors,
      element('div', { class: 'shortcuts' }, trials, careful, biggest, all),
    ),
    update(analysis) {
      now = analysis;
      const { outcome, choices, studies, state, quality } = analysis;
      const wanted = assessorShortcuts(review, outcome);
      if (JSON.stringify(wanted) !== JSON.stringify(shown)) {
        shown = wanted;
        assessors.replaceChildren(...wanted.map((shortcut) => button(shortcut.name, () => choose(shortcut))));
      }
      for (const [at, shortcut] of wanted.entries())
        assessors.children[at]?.setAttribute('aria-pressed', String(isOn(shortcut)));
      trials.setAttribute('aria-pressed', String(same(choices.designs, ['randomised trial'])));
      careful.setAttribute('aria-pressed', String(choices.quality === 'without-low'));
      careful.hidden = quality['without-low'].size === 0;
      const next = biggestStudy(studies);
      biggest.hidden = next === undefined;
      const first = studies[0]?.on === true;
      if (next !== undefined)
        setText(
          biggest,
          `Without the ${first ? '' : 'next '}biggest series: ${next.label} (${next.shoulders.toLocaleString('en-GB')})`,
        );
      all.hidden = state.switchedOff.length === 0;
    },
  };
}

const pressed = (each: HTMLElement): boolean => each.getAttribute('aria-pressed') === 'true';
const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);
