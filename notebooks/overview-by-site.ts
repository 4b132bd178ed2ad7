// %% [markdown]
// # Every outcome, by site
//
// **The question.** Of 100 shoulders at each fixation site, how many have each of the outcomes the review counts?
//
// **What this page is not.** It is not a randomised comparison. Each cell is pooled from the arms that happen to
// report it, and no two cells need hold the same patients. Reading along a row says what was seen at each site, not
// what the site does.
//
// **What would change the answer.** Trials that allot the site by chance and count every outcome in every shoulder.

// %% [markdown]
// ## One table
//
// All outcomes counted as events, per 100 shoulders, each cell the rate that is quoted. Each has a page of its own or can
// be given one.

// %%
import {
  agreeing,
  answersOf,
  armNotesReading,
  bulletList,
  cautionsReading,
  counted,
  openNotebook,
  overviewTable,
  ratesBySiteTable,
  sitesOverview,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
const outcomes = review.protocol.outcomes
  .filter((outcome) => outcome.kind === 'events')
  .map((outcome) => {
    const { selection, pools } = answersOf(review).counts(outcome.id);
    const { leftOut, departures } = selection;
    return { name: outcome.name, departures, leftOut, pools };
  })
  .filter(({ pools }) => pools.sites.some(({ pool }) => pool.arms.length > 0));
if (outcomes.length === 0) notebook.skip('no outcome is counted as events at any of the four sites');
notebook.record('outcomes', outcomes, { supporting: true });
notebook.show(overviewTable(outcomes, { caption: 'Per 100 shoulders: not a randomised comparison' }));
const [first] = outcomes.map(({ name, pools }) => ({
  name,
  ...pools.sites.find(({ pool }) => pool.arms.length > 0),
}));
notebook.record('first cell', { name: first?.name, cell: { name: first?.site, pool: first?.pool } });
notebook.reading`${counted(outcomes.length, 'outcome')} counted as events ${agreeing(outcomes.length, 'is', 'are')} reported. A cell gives the quoted rate per 100 shoulders,
  its interval and the number of studies. Where no shoulder had the event the interval is the exact one, and its upper
  limit is the news. Every cell of an outcome is quoted by one method; at the foot of the page stands the method of the first in full.`;

// %% [markdown]
// ## One picture
//
// The same rates drawn, with the range to expect of a next study, so that wide and narrow can be told at a glance.

// %%
const rows = outcomes.map(({ name, pools }) => ({ outcome: name, pools }));
notebook.draw((frame) => sitesOverview(rows, frame), {
  title: 'Rates by site: not a randomised comparison',
  name: 'overview',
  from: rows,
});
const cells = outcomes.flatMap(({ pools }) => pools.sites.map(({ pool }) => pool));
const thin = cells.filter((pool) => pool.studies > 0 && pool.studies < 5).length;
const empty = cells.filter((pool) => pool.studies === 0).length;
notebook.reading`Cells in all: ${cells.length}. Without any study: ${empty}. Resting on one to four studies: ${thin}${
  thin === 0
    ? '.'
    : '; there, how much studies differ is close to a guess, and so is the range for the next one.'
}`;

// %% [markdown]
// ## Outcome by outcome
//
// Studies, shoulders and events behind each cell, what each rate takes as one, and every caution the pools carry.

// %%
for (const { name, pools } of outcomes) {
  notebook.show(ratesBySiteTable(pools, { caption: `${name} at each site` }));
  const cautions = [...armNotesReading(pools, review), ...cautionsReading(pools)];
  notebook.reading`${bulletList(cautions.length > 0 ? cautions : ['These pools carry no caution.'])}`;
}

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so. Those about the demo alone are not asked of other data.

// %%
notebook.claim(
  'Every quoted rate lies within its interval, and every interval within 0 to 100.',
  cells.every(({ headline }) => {
    if (headline === undefined) return true;
    const { rate, interval } = headline;
    return 0 <= interval.lower && interval.lower <= rate && rate <= interval.upper && interval.upper <= 1;
  }),
);
notebook.claim(
  'No cell counts more events than shoulders.',
  cells.every((pool) => pool.events <= pool.shoulders),
);
notebook.claimForDemo('The four main outcomes each have at least nine studies at every site.', () =>
  outcomes.slice(0, 4).every(({ pools }) => pools.sites.every(({ pool }) => pool.studies >= 9)),
);
