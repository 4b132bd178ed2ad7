import type { LiveAnalysis } from '../analysis/analyse.ts';
import { button, element, type Part, setText } from './element.ts';

/** In what the page differs from the protocol, always in sight, and the way back. */
export function departuresPart(backToProtocol: () => void): Part<LiveAnalysis> {
  const heading = element('h2', { id: 'departures', tabindex: '-1' });
  const list = element('ul');
  const back = button(
    'Back to the protocol',
    () => {
      backToProtocol();
      // The button is gone now; whoever came by keyboard must not be thrown back to the start.
      heading.focus();
    },
    { id: 'back-to-protocol' },
  );
  const node = element(
    'section',
    { class: 'departures', 'aria-labelledby': 'departures' },
    heading,
    list,
    back,
  );
  return {
    node,
    update({ departures }) {
      const count = departures.length;
      setText(
        heading,
        count === 0
          ? 'As the protocol has it'
          : `Not as the protocol has it: ${count} ${count === 1 ? 'departure' : 'departures'}`,
      );
      node.classList.toggle('departed', count > 0);
      list.hidden = count === 0;
      back.hidden = count === 0;
      list.replaceChildren(...departures.map((sentence) => element('li', {}, sentence)));
    },
  };
}
