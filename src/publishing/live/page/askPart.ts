import { type PooledSite, pooledSites, siteNames } from '../../../extraction/site.ts';
import { countsOf } from '../../../pooling/armsInNumber.ts';
import type { LiveAnalysis } from '../analysis/analyse.ts';
import type { LiveChange } from '../state/changeState.ts';
import { longestClaim } from '../state/liveState.ts';
import { selectField } from './controls/field.ts';
import { element, type Part } from './element.ts';

/** What a view needs to be told: the sentence to check, the site to look at. Hidden where nothing is asked. */
export function askPart(change: (change: LiveChange, typing?: string) => void): Part<LiveAnalysis> {
  const sentence = element('textarea', {
    id: 'claim',
    rows: 2,
    maxlength: longestClaim,
    'aria-describedby': 'claim-hint',
    placeholder: '0 of 40, under 5 %',
  });
  sentence.addEventListener('input', () => change({ kind: 'claim', claim: sentence.value }, 'claim'));
  const site = selectField<PooledSite>('site', '', (value) => change({ kind: 'site', site: value }));
  const siteLabel = site.node.querySelector('label')!;
  const claim = element(
    'div',
    { class: 'field' },
    element('label', { for: 'claim' }, 'The sentence somebody is about to say'),
    sentence,
    element(
      'p',
      { id: 'claim-hint', class: 'why' },
      'It needs a count, such as "0 of 40"; it may have a second one to stand against, such as "4 of 42 against 15 of 45", and a limit, such as "under 5 %".',
    ),
  );
  const node = element('div', { class: 'ask' }, claim, site.node);
  return {
    node,
    update({ state, pools }) {
      const { view } = state;
      node.hidden = view !== 'claim' && view !== 'change';
      claim.hidden = view !== 'claim';
      siteLabel.textContent =
        view === 'claim' ? 'Set it beside the studies that count at' : 'Leave out each study in turn at';
      if (sentence.value !== state.claim) sentence.value = state.claim;
      site.update({
        value: state.site,
        options: pooledSites.map((value) => {
          const studies = countsOf(
            pools.sites.find((other) => other.site === value)?.pool.arms ?? [],
          ).studies;
          return {
            value,
            name: `${siteNames[value]} (${studies} ${studies === 1 ? 'study' : 'studies'})`,
          };
        }),
      });
    },
  };
}
