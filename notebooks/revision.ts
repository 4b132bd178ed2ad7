// %% [markdown]
// # Revision by fixation site
//
// **The question.** After the long head of the biceps is fixed at the top of the groove, above the pectoralis or
// below it, or is only released: of 100 shoulders, how many need another operation because of the biceps?
//
// **Why two counts.** A shoulder can be operated on again for the cuff, for stiffness, or for the biceps. Revision
// for any cause can be many times as common as revision for the biceps; a table that mixes the two says nothing about
// either. Revision for the biceps is the headline here, and revision for any cause stands beside it, never in it.
//
// **What would change the answer.** Events are few, so a handful of new ones moves a rate. Longer follow-up, with
// every shoulder traced, would change it more than many more shoulders followed for a year.

// %% [markdown]
// ## What was counted
//
// Whether a reoperation was for the biceps is a judgement by whoever wrote the chart. The choices of the protocol:

// %%
import {
  agreeing,
  answersOf,
  armNotesReading,
  bulletList,
  counted,
  forestPlot,
  funnelPlot,
  heterogeneityTable,
  leftOutTable,
  limitsReading,
  methodsCheckReading,
  methodsCheckTable,
  midGrooveNames,
  midGrooveRules,
  openNotebook,
  outcomeTable,
  outsideReading,
  predictionReading,
  protocolReading,
  ratesBySiteTable,
  ratesReading,
  sensitivityReading,
  sensitivityTable,
  smallStudiesReading,
  studiesTable,
  zeroArmsReading,
  zeroArmsTable,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
notebook.needsOutcome('revision', 'any-revision');
const answers = answersOf(review);
const { selection: biceps, pools } = answers.counts('revision');
const { selection: anyCause, pools: anyPools } = answers.counts('any-revision');
notebook.record('selection', { biceps, anyCause });
notebook.show(outcomeTable(biceps, { caption: `The choices behind the count: ${biceps.outcome.name}` }));
notebook.show(outcomeTable(anyCause, { caption: `The choices behind the count: ${anyCause.outcome.name}` }));
notebook.reading`${counted(biceps.arms.length, 'arm')} ${agreeing(biceps.arms.length, 'reports', 'report')} revision for the biceps and ${anyCause.arms.length} ${agreeing(anyCause.arms.length, 'reports', 'report')}
  revision for any cause, in a way the protocol accepts. They need not be the same arms. ${protocolReading(review.protocol)}`;

// %% [markdown]
// ## Revision for the biceps
//
// The headline. Where rates are low, a picture shows mostly how little a single arm can say.

// %%
notebook.record('pools', { name: biceps.outcome.name, ...pools });
notebook.draw(
  (frame) => forestPlot(pools, { ...frame, title: `${biceps.outcome.name}, per 100 shoulders` }),
  {
    title: 'Every study, and the rate quoted at each site: for the biceps',
    name: 'rates-by-site',
    from: pools,
  },
);
notebook.show(ratesBySiteTable(pools, { caption: `${biceps.outcome.name} at each site` }));
notebook.reading`${bulletList(ratesReading(pools))}

${outsideReading(pools)}

${bulletList(armNotesReading(pools, review))}

The rows are not a comparison, whatever the design of the studies behind them: each site is pooled by itself, from its own patients.`;

// %% [markdown]
// ## Revision for any cause, beside it
//
// Anything that led to another operation on the shoulder, whether or not it had to do with where the tendon was fixed,
// which is why it must not stand in for the headline.

// %%
notebook.record('pools, any cause', { name: anyCause.outcome.name, ...anyPools });
notebook.draw(
  (frame) => forestPlot(anyPools, { ...frame, title: `${anyCause.outcome.name}, per 100 shoulders` }),
  {
    title: 'Every study, and the rate quoted at each site: for any cause',
    name: 'rates-by-site-any-cause',
    from: anyPools,
  },
);
notebook.show(ratesBySiteTable(anyPools, { caption: `${anyCause.outcome.name} at each site` }));
const total = (arms: readonly { readonly events: number }[]) =>
  arms.reduce((sum, arm) => sum + arm.events, 0);
notebook.reading`${bulletList(ratesReading(anyPools))}

${bulletList(armNotesReading(anyPools, review))}

Over all arms, ${total(biceps.arms)} revisions for the biceps stand beside ${total(anyCause.arms)} for any cause. The
two counts answer different questions and are not added.`;

// %% [markdown]
// ## The arms behind the headline
//
// Each count with the line of the sheet and the page of the paper it came from.

// %%
const { studyInterval } = review.protocol.analysis;
notebook.show(
  studiesTable(pools, { interval: studyInterval, caption: 'Arms that report revision for the biceps' }),
  { beside: 'single studies' },
);
notebook.show(
  studiesTable(anyPools, { interval: studyInterval, caption: 'Arms that report revision for any cause' }),
  { beside: 'single studies' },
);
notebook.reading`A weight is the share of the rate at that site which the arm decides.`;

// %% [markdown]
// ## How much the studies differ
//
// With few events, studies can look alike only because each says so little.

// %%
notebook.show(heterogeneityTable(pools), { beside: 'about the studies' });
notebook.reading`${bulletList(predictionReading(pools))}`;

// %% [markdown]
// ## Does the method decide?
//
// Here it does. Rare events are where DerSimonian-Laird goes wrong first: arms without an event must be corrected or
// left out, and its interval held the truth far less often than it says. Quoted is therefore the mean over studies from a
// model that takes the counts as they are; DerSimonian-Laird stands beside it.

// %%
notebook.show(methodsCheckTable(pools), { beside: 'methods compared' });
notebook.reading`${bulletList(methodsCheckReading(pools))}`;

// %% [markdown]
// ## Arms without a revision
//
// No revision among thirty shoulders followed for two years is what luck gives easily. The highest rate each such
// arm leaves possible:

// %%
notebook.show(zeroArmsTable(pools), { beside: 'single studies' });
notebook.reading`${zeroArmsReading(pools)}`;

// %% [markdown]
// ## Where mid-groove belongs
//
// Three rules are in use for tendons fixed in the middle of the groove. The headline under each:

// %%
const ways = midGrooveRules.map((midGroove) => {
  const { selection, pools: under } = answersOf(review, { selection: { siteRule: { midGroove } } }).counts(
    'revision',
  );
  return { name: midGrooveNames[midGroove], departures: selection.departures, pools: under };
});
notebook.record('mid-groove rules', ways, { supporting: true });
notebook.show(
  sensitivityTable(ways, { caption: 'The three mid-groove rules', wayHeading: 'Mid-groove arms' }),
  { beside: 'other choices' },
);
const material = biceps.outcome.thresholdsPer100.materialDifference / 100;
notebook.reading`${bulletList(sensitivityReading(ways, material))}`;

// %% [markdown]
// ## Small studies
//
// Each rate against the size of its arm. At rates near nought the points crowd the edge whatever was published, so
// the picture shows size and spread more than anything about missing studies.

// %%
notebook.draw((frame) => funnelPlot(pools, { ...frame, title: 'Rate against size of the arm' }), {
  title: 'Rates of small and large arms',
  name: 'funnel',
  from: pools,
});
notebook.reading`${smallStudiesReading(pools)}`;

// %% [markdown]
// ## What was left out
//
// Rows of both counts that were not used, each with its reason.

// %%
notebook.show(leftOutTable(biceps.leftOut, { caption: 'Not used for revision for the biceps' }));
notebook.show(leftOutTable(anyCause.leftOut, { caption: 'Not used for revision for any cause' }));
notebook.reading`${counted(biceps.leftOut.length, 'row')} ${agreeing(biceps.leftOut.length, 'was', 'were')} left out of the first count and ${anyCause.leftOut.length} of
  the second. Silence about revision is not a revision rate of nought, and is not counted as one.`;

// %% [markdown]
// ## What we cannot tell
//
// Who looked, for how long and in which kind of study sets the limit of what these rates can say.

// %%
notebook.reading`${bulletList(limitsReading(pools))}`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so. Those about the demo alone are not asked of other data.

// %%
const answered = pools.sites.flatMap(({ pool }) => (pool.headline === undefined ? [] : [pool.headline]));
notebook.claim(
  'Every quoted rate lies within its interval.',
  answered.every(({ rate, interval }) => interval.lower <= rate && rate <= interval.upper),
);
notebook.claim(
  'No row of one count stands in the other: the two kinds of revision are not mixed.',
  biceps.arms.every((arm) => !anyCause.arms.some((other) => other.row.line === arm.row.line)),
);
notebook.claimForDemo('At every site revision for any cause is commoner than revision for the biceps.', () =>
  pools.sites.every(({ site, pool }) => {
    const other = anyPools.sites.find((row) => row.site === site);
    return (pool.headline?.rate ?? 0) < (other?.pool.headline?.rate ?? 0);
  }),
);
