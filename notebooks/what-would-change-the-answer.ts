// %% [markdown]
// # What would change the answer?
//
// **The question.** The pooled rates of deformity, groove pain and revision each rest on a handful of studies. Is there
// a study, a set of studies, or a lean of small ones without which the rate would be another?
//
// **Why it is asked.** A rate that one study decides is that study's rate. Whoever quotes it in a talk should know,
// before someone in the room does.
//
// **What would change the answer.** Named below, outcome by outcome and site by site: the study whose absence moves
// the rate furthest, and the study whose presence splits all subsets into two camps.

// %% [markdown]
// ## What is tried
//
// Every study is left out in turn and the rest pooled again, by DerSimonian-Laird as the protocol names it: it can be
// worked out a hundred thousand times, and what moves it moves the quoted rate, which stands beside. Then every subset of the studies is pooled, as if the
// others had never been done: all of them up to fourteen arms, a seeded sample of as many above. Last, small arms are
// set against large ones.

// %%
import {
  agreeing,
  answersOf,
  bulletList,
  cumulativePlot,
  cumulativePool,
  influencePull,
  influenceRows,
  openNotebook,
  protocolReading,
  type SiteChanges,
  sizeTestReading,
  smallStudiesTable,
  subsetCloudPlot,
  whatWouldChange,
  whatWouldChangeReading,
  whatWouldChangeTable,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
const asked = ['cosmetic-deformity', 'groove-pain', 'revision'];
const outcomes = review.protocol.outcomes
  .filter((outcome) => outcome.kind === 'events')
  .filter(({ id }) => asked.includes(id))
  .map((outcome) => {
    const { selection, pools } = answersOf(review).counts(outcome.id);
    const sites = pools.sites.map(({ name, pool }) => ({
      name,
      studies: pool.studies,
      pool,
      changes: whatWouldChange(pool),
    }));
    const material = outcome.thresholdsPer100.materialDifference / 100;
    return { id: outcome.id, name: outcome.name, selection, pools, sites, material };
  })
  .filter(({ sites }) => sites.some(({ studies }) => studies > 0));
if (outcomes.length === 0) notebook.skip(`no arm at the four sites reports ${asked.join(', ')}`);
notebook.record(
  'pools',
  outcomes.map(({ name, selection, pools }) => ({ name, departures: selection.departures, pools })),
);
notebook.reading`${outcomes.map(({ name }) => name).join(', ')}: ${outcomes.length} of the ${asked.length} outcomes asked
  about ${agreeing(outcomes.length, 'is', 'are')} reported. Whether a change matters is judged by the difference the protocol set for each outcome.
  ${protocolReading(review.protocol)}`;

// %% [markdown]
// ## Which study decides?
//
// One table an outcome. A study that is marked is a reason to read its paper again, not to leave it out.

// %%
for (const { name, sites } of outcomes) {
  notebook.show(whatWouldChangeTable(sites, { caption: `${name}: what one study does` }), {
    beside: 'other choices',
  });
}
notebook.record(
  'influence',
  outcomes.flatMap(({ name, sites }) =>
    sites.flatMap(({ name: site, changes }) =>
      changes === undefined
        ? []
        : [
            {
              outcome: name,
              site,
              omitted: changes.omitted.without,
              influence: changes.influence.studies,
              subsets: changes.description,
            },
          ],
    ),
  ),
  { supporting: true },
);
const anyMarked = outcomes.reduce(
  (sum, { sites }) => sum + sites.filter(({ changes }) => marked(changes) > 0).length,
  0,
);
notebook.reading`Site and outcome pairs with at least one marked study: ${anyMarked}.`;

function marked(changes: SiteChanges['changes']): number {
  return changes?.influence.studies.filter((study) => study.marked.length > 0).length ?? 0;
}

// %% [markdown]
// ## Outcome by outcome, site by site
//
// For each: how far one study moves the rate, and what all subsets say. Where a study splits the subsets, and at the
// site one study moves furthest, all subsets are drawn, coloured by the study that parts them most. Two clouds apart
// mean that the answer hangs on that study.

// %%
for (const { id, name, sites, material } of outcomes) {
  for (const site of sites) {
    notebook.reading`**${name}, ${site.name}.** ${whatWouldChangeReading(site, material).join(' ')}`;
    const { changes } = site;
    if (changes?.description === undefined) continue;
    const split = changes.description.presence.some(({ splits }) => splits);
    if (!split && site !== mostToLose(sites)) continue;
    notebook.draw(
      (frame) => subsetCloudPlot(changes.cloud, { ...frame, title: `${name}, ${site.name}: every subset` }),
      {
        title: `Every subset: ${name}, ${site.name}`,
        name: `subsets-${id}-${site.pool.arms[0]?.site}`,
        from: changes.pool,
        beside: 'other choices',
      },
    );
  }
}

function reach({ omitted }: NonNullable<SiteChanges['changes']>): number {
  const whole = omitted.whole.natural?.value ?? 0;
  return Math.max(0, ...omitted.without.map(({ natural }) => Math.abs((natural?.value ?? whole) - whole)));
}

/** The site whose rate the omission of one study moves furthest. */
function mostToLose<Site extends SiteChanges>(sites: readonly Site[]): Site | undefined {
  const reachOf = ({ changes }: Site): number => (changes === undefined ? -1 : reach(changes));
  return [...sites].sort((a, b) => reachOf(b) - reachOf(a))[0];
}

// %% [markdown]
// ## The site with most to lose
//
// For each outcome, the site whose rate one study moves furthest: the two-step pool without each study, which studies pull, and
// how the pool came about over the years.

// %%
for (const { id, name, sites } of outcomes) {
  const worst = mostToLose(sites);
  if (worst?.changes === undefined) continue;
  const { name: site, changes } = worst;
  notebook.reading`**${name}: ${site}.** One study moves its rate further than at any other site.`;
  notebook.draw(
    (frame) => influenceRows(changes.omitted, { ...frame, title: `${name}, ${site}: without each study` }),
    {
      title: `${name}, ${site}: the pool without each study`,
      name: `without-${id}`,
      from: changes.pool,
      beside: 'other choices',
    },
  );
  notebook.draw(
    (frame) => influencePull(changes.influence, { ...frame, title: `${name}, ${site}: who pulls` }),
    {
      title: `${name}, ${site}: pull on the rate and on heterogeneity`,
      name: `pull-${id}`,
      from: changes.pool,
      beside: 'other choices',
    },
  );
  const years = new Map(changes.pool.arms.map(({ study, year }) => [study, year]));
  const series = cumulativePool(
    changes.pool.twoStep.estimates,
    { by: ({ study }) => years.get(study) ?? Number.NaN, byName: 'year' },
    changes.pool.twoStep.options,
  );
  notebook.draw((frame) => cumulativePlot(series, { ...frame, title: `${name}, ${site}: year by year` }), {
    title: `${name}, ${site}: the pool as it grew`,
    name: `cumulative-${id}`,
    from: changes.pool,
    beside: 'other choices',
  });
}

// %% [markdown]
// ## Small arms against large ones
//
// If series with unwelcome rates stayed in the drawer, small arms would tell a better story than large ones. Below ten
// studies no test can tell that from chance, and none is made. Rates are tested against size: their standard error
// follows the rate and would lean without any bias.

// %%
for (const { name, sites } of outcomes) {
  notebook.show(smallStudiesTable(sites, { caption: `${name}: small arms against large ones` }), {
    beside: 'about the studies',
  });
  notebook.reading`${bulletList(sizeTestReading(sites))}`;
}

// %% [markdown]
// ## What we cannot tell
//
// Leaving out what was done says nothing of what was never done.

// %%
notebook.reading`A rate that no study can move may still be wrong, where all studies share a fault: the same referral
  centres, the same way of looking, the same patients sent to the same operation. And a lean of small studies has many
  causes, of which unpublished results are one.`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so. Those about the demo alone are not asked of other data.

// %%
const all = outcomes.flatMap(({ sites }) =>
  sites.flatMap(({ changes }) => (changes === undefined ? [] : [changes])),
);
notebook.claim(
  'Every study was left out once, and put back.',
  all.every(
    ({ omitted, pool }) =>
      omitted.without.length === new Set(pool.twoStep.estimates.map(({ study }) => study)).size &&
      omitted.without.every((row) => row.estimates + row.estimatesOmitted === pool.twoStep.estimates.length),
  ),
);
notebook.claim(
  'No test of small against large arms was made with fewer than ten studies.',
  all.every(({ sizeTest }) => sizeTest.kind === 'small-study-refusal' || sizeTest.studies >= 10),
);
notebook.claim(
  'Every subset of up to fourteen arms was pooled.',
  all.every(({ cloud }) => cloud.estimates.length > 14 || cloud.subsets === 2 ** cloud.estimates.length - 1),
);
notebook.claimForDemo(
  'One large arm was put in on purpose: some study is marked as influential.',
  () => anyMarked > 0,
);
