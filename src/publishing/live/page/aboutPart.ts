import { clinicalCaution, factEntries, type PageFacts } from '../../pageFacts.ts';
import type { LiveAnalysis } from '../analysis/analyse.ts';
import { element, type Part } from './element.ts';

/** Where the numbers come from: methods, review, folder, programs, and the caution. */
export function aboutPart(facts: PageFacts): Part<LiveAnalysis> {
  const methods = element('dd');
  const entry = (term: string, text: string) =>
    element('div', {}, element('dt', {}, term), element('dd', {}, text));
  return {
    node: element(
      'footer',
      { class: 'about' },
      element('h2', {}, 'Where the numbers come from'),
      element(
        'dl',
        {},
        element('div', {}, element('dt', {}, 'Methods'), methods),
        ...factEntries(facts).map(([term, text]) => entry(term, text)),
        entry(
          'Program',
          `tenosite ${facts.tenositeVersion}; every number is worked out in this page, and nothing is sent anywhere`,
        ),
      ),
      element('p', { class: 'caution' }, clinicalCaution),
    ),
    update({ pools }) {
      const [first, ...others] = pools.sites
        .filter(({ pool }) => pool.arms.length > 0)
        .map(({ name, pool }) => element('p', {}, `${name}: ${pool.methodsSentence}`));
      methods.replaceChildren(...(first === undefined ? [] : [first]));
      if (others.length > 0)
        methods.append(
          element(
            'details',
            { class: 'folded' },
            element('summary', {}, `The same for the other sites (${others.length})`),
            ...others,
          ),
        );
    },
  };
}
