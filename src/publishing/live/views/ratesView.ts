import { sitesOverview } from '../../../figures/sitesOverview.ts';
import { leftOutTable } from '../../../tables/leftOutTable.ts';
import { methodsCheckTable } from '../../../tables/methodsCheckTable.ts';
import { outcomeTable } from '../../../tables/outcomeTable.ts';
import { ratesBySiteTable } from '../../../tables/ratesBySiteTable.ts';
import { limitsReading } from '../../../tables/readings/limitsReading.ts';
import { methodsCheckReading } from '../../../tables/readings/methodsCheckReading.ts';
import { outsideReading } from '../../../tables/readings/outsideReading.ts';
import { predictionReading } from '../../../tables/readings/predictionReading.ts';
import { ratesReading } from '../../../tables/readings/ratesReading.ts';
import { plainAnswer } from '../analysis/plainAnswer.ts';
import type { ViewDefinition } from './viewContent.ts';

/** How often does it happen at each site? */
export const ratesView: ViewDefinition = {
  id: 'rates',
  name: 'Rates by site',
  heading: 'How often, at each site',
  blocks: ({ pools, outcome, selection, choices, leftOut }) => {
    const { windowMonths: window } = choices;
    const detail = window === null ? 'any time' : `${window.minimum} to ${window.maximum} months`;
    return [
      {
        kind: 'figure',
        name: 'rates-by-site',
        title: `${outcome.name}, per 100 shoulders`,
        draw: (frame) =>
          sitesOverview([{ outcome: outcome.name, detail, pools }], {
            ...frame,
            title: `${outcome.name}, per 100 shoulders`,
          }),
      },
      {
        kind: 'sentences',
        heading: 'In plain words',
        sentences: plainAnswer(pools),
      },
      {
        kind: 'sentences',
        heading: 'In numbers',
        sentences: [...ratesReading(pools), ...predictionReading(pools), outsideReading(pools)],
      },
      {
        kind: 'table',
        name: 'rates-by-site',
        table: ratesBySiteTable(pools, { caption: `${outcome.name} at each site, as a table` }),
        folded: true,
      },
      { kind: 'sentences', heading: 'What we cannot tell', sentences: limitsReading(pools) },
      {
        kind: 'sentences',
        heading: 'Does the method decide?',
        sentences: methodsCheckReading(pools),
        beside: 'methods compared',
      },
      { kind: 'table', name: 'methods-check', table: methodsCheckTable(pools), folded: true },
      {
        kind: 'table',
        name: 'what-was-counted',
        table: outcomeTable(selection, { caption: 'The choices behind the count' }),
        folded: true,
      },
      {
        kind: 'table',
        name: 'left-out',
        table: leftOutTable(leftOut, { caption: 'Rows not used, with the reason' }),
        folded: true,
      },
    ];
  },
};
