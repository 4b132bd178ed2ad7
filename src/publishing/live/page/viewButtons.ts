import { type LiveView, liveViews } from '../state/liveState.ts';
import { views } from '../views/views.ts';
import { button, element, type Part } from './element.ts';

/** One button a view; the one shown is marked. */
export function viewButtons(choose: (view: LiveView) => void): Part<LiveView> {
  const buttons = liveViews.map((view) =>
    button(views[view].name, () => choose(view), { id: `view-${view}` }),
  );
  return {
    node: element(
      'nav',
      { class: 'views', 'aria-label': 'Views' },
      element('ul', {}, ...buttons.map((each) => element('li', {}, each))),
    ),
    update(view) {
      for (const [at, each] of buttons.entries()) {
        if (liveViews[at] === view) each.setAttribute('aria-current', 'true');
        else each.removeAttribute('aria-current');
      }
    },
  };
}
