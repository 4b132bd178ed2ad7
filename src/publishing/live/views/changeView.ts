import { siteNames } from '../../../extraction/site.ts';
import { influenceRows } from '../../../figures/influenceRows.ts';
import { whatWouldChange } from '../../../robustness/influence/whatWouldChange.ts';
import { sizeTestReading, whatWouldChangeReading } from '../../../tables/readings/whatWouldChangeReading.ts';
import { smallStudiesTable, whatWouldChangeTable } from '../../../tables/whatWouldChangeTable.ts';
import type { LiveFrame, ViewDefinition } from './viewContent.ts';

/** Up to this many arms the page pools every subset; above, a sample of as many, so that it stays quick. */
export const mostArmsExhaustive = 10;

/** Which study, or which set of studies, would change the rate? */
export const changeView: ViewDefinition = {
  id: 'change',
  name: 'What would change it',
  heading: 'What would change the answer',
  blocks: ({ pools, outcome, state }) => {
    const sites = pools.sites.map(({ site, name, pool }) => ({
      site,
      name,
      studies: pool.studies,
      changes: whatWouldChange(pool, { exhaustiveUpTo: mostArmsExhaustive }),
    }));
    const material = outcome.thresholdsPer100.materialDifference / 100;
    const chosen = sites.find(({ site }) => site === state.site)?.changes;
    const title = `${outcome.name}, ${siteNames[state.site].toLowerCase()}: without each study`;
    return [
      ...sites.map((site) => ({
        kind: 'sentences' as const,
        heading: site.name,
        sentences: whatWouldChangeReading(site, material),
        beside: 'other choices' as const,
      })),
      {
        kind: 'table',
        name: 'what-one-study-does',
        table: whatWouldChangeTable(sites, { caption: `${outcome.name}: what one study does` }),
        beside: 'other choices',
      },
      ...(chosen === undefined
        ? []
        : [
            {
              kind: 'figure',
              name: 'without-each-study',
              title,
              draw: (frame: LiveFrame) => influenceRows(chosen.omitted, { ...frame, title }),
              beside: 'other choices',
            } as const,
          ]),
      { kind: 'sentences', heading: 'Small arms against large ones', sentences: sizeTestReading(sites) },
      {
        kind: 'table',
        name: 'small-studies',
        table: smallStudiesTable(sites, { caption: `${outcome.name}: small arms against large ones` }),
        folded: true,
      },
    ];
  },
};
