import { siteColours } from '../../../figures/palette.ts';
import { countsBeside } from '../../../pooling/armsInNumber.ts';
import { notAComparison } from '../../../pooling/poolBySite.ts';
import type { PooledRate } from '../../../pooling/pooledRate.ts';
import { levelHeading } from '../../../tables/ratesBySiteTable.ts';
import { notInPoolText, percentLimits } from '../../../tables/rateText.ts';
import { clinicalCaution } from '../../../wording/clinicalCaution.ts';
import type { LiveAnalysis } from '../analysis/analyse.ts';
import { againstProtocol, methodNote, shortRate } from '../analysis/headline.ts';
import { element, type Part, setText } from './element.ts';

/** An analysis, and the same outcome as the protocol has it. */
export interface Answer {
  readonly analysis: LiveAnalysis;
  readonly planned: LiveAnalysis;
}

const columns = ['Site', 'In 100 shoulders', 'interval', 'Next study'] as const;

/** The answer that stands above every view: four sites, a rate each, and how far to trust it. */
export function answerPart(): Part<Answer> {
  const heading = element('h1', { id: 'answer', tabindex: '-1' });
  const headings = columns.map((text) => element('th', { scope: 'col' }, text));
  const body = element('tbody');
  const method = element('p', { class: 'note', 'data-method': '' });
  const node = element(
    'section',
    { class: 'answer', 'aria-labelledby': 'answer' },
    heading,
    element(
      'table',
      { 'aria-labelledby': 'answer' },
      element('thead', {}, element('tr', {}, ...headings)),
      body,
    ),
    method,
    element('p', { class: 'note' }, `${notAComparison} ${clinicalCaution}`),
  );
  const rows = new Map<string, readonly HTMLElement[]>();
  const rowOf = (site: string, name: string, colour: string): readonly HTMLElement[] => {
    const known = rows.get(site);
    if (known !== undefined) return known;
    const swatch = element('span', { class: 'site-dot', 'aria-hidden': 'true' });
    swatch.style.background = colour;
    const cells = ['rate', 'interval', 'next'].map((name) => element('td', { class: name }));
    body.append(
      element(
        'tr',
        { 'data-site': site },
        element('th', { scope: 'row' }, element('span', { class: 'site' }, swatch, name)),
        ...cells,
      ),
    );
    rows.set(site, cells);
    return cells;
  };
  return {
    node,
    update({ analysis, planned }) {
      setText(heading, analysis.outcome.name);
      setText(method, methodNote(analysis.pools));
      const level = levelHeading(analysis.choices.level);
      setText(headings[2]!, `${level} interval`);
      setText(headings[3]!, `Next study (${level})`);
      for (const [at, { site, name, pool, answer }] of analysis.pools.sites.entries()) {
        const [rate, interval, next] = rowOf(site, name, siteColours[site]);
        const row = rate!.parentElement;
        if (answer === undefined) row?.removeAttribute('data-answer');
        else row?.setAttribute('data-answer', answer);
        const before = againstProtocol(pool, planned.pools.sites[at]!.pool);
        const { headline } = pool;
        rate!.replaceChildren(
          element('strong', {}, shortRate(pool)),
          ...(before === undefined
            ? []
            : [' ', element('span', { class: 'before' }, `(protocol: ${before})`)]),
          ...(pool.arms.length === 0 ? [] : [' ', element('span', { class: 'basis' }, basisOf(pool))]),
        );
        setText(interval!, headline === undefined ? '' : percentLimits(headline.interval));
        setText(
          next!,
          headline === undefined
            ? ''
            : headline.prediction
              ? percentLimits(headline.prediction)
              : 'not given',
        );
      }
    },
  };
}

/** What the number rests on, and what it does not; every arm where there is no number. */
function basisOf(pool: PooledRate): string {
  const { studies, events, shoulders } = countsBeside(pool);
  const outside = pool.headline === undefined ? '' : notInPoolText(pool);
  return `${events.toLocaleString('en-GB')} of ${shoulders.toLocaleString('en-GB')}, ${studies} ${studies === 1 ? 'study' : 'studies'}${outside === '' ? '' : `; ${outside}`}`;
}
