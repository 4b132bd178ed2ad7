// %% [markdown]
// # Pain in the groove by fixation site
//
// **The question.** After the long head of the biceps is fixed at the top of the groove, above the pectoralis or
// below it, or is only released: of 100 shoulders, in how many does the bicipital groove still hurt?
//
// **Why it is asked.** One argument for fixing the tendon low is that a tendon left in the groove can go on hurting
// there. The argument is about cause; the rates below are not.
//
// **What would change the answer.** Studies that press on the groove of every shoulder at the same time after the
// operation; pain that was there before told apart from pain that is new; trials that allot the site by chance.

// %% [markdown]
// ## What was counted
//
// Groove pain is asked about, pressed for, or noted in a chart, and each finds another rate. Pain that persists can
// only persist in those who had it, so the denominator counts as much. The protocol fixed these choices.

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
  sheetArmsOf,
  smallStudiesReading,
  studiesTable,
  zeroArmsReading,
  zeroArmsTable,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
notebook.needsOutcome('groove-pain');
const { selection, pools } = answersOf(review).counts('groove-pain');
notebook.record('selection', selection);
notebook.show(outcomeTable(selection, { caption: 'The choices behind the count' }));
notebook.reading`${counted(selection.arms.length, 'arm')} ${agreeing(selection.arms.length, 'reports', 'report')} it in a way the protocol accepts;
  ${counted(selection.leftOut.length, 'row')} of the sheet ${agreeing(selection.leftOut.length, 'was', 'were')} not used, and ${agreeing(selection.leftOut.length, 'stands', 'stand')} below with the reason. ${protocolReading(review.protocol)}`;

// %% [markdown]
// ## The rate at each site
//
// Each site has its own pool. First every study as a picture, so that a large or an odd one shows; then the
// same in numbers.

// %%
notebook.record('pools', pools);
notebook.draw(
  (frame) => forestPlot(pools, { ...frame, title: `${selection.outcome.name}, per 100 shoulders` }),
  { title: 'Every study, and the rate quoted at each site', name: 'rates-by-site', from: pools },
);
notebook.show(ratesBySiteTable(pools, { caption: `${selection.outcome.name} at each site` }));
notebook.reading`${bulletList(ratesReading(pools))}

${outsideReading(pools)}

${bulletList(armNotesReading(pools, review))}

The rows are not a comparison, whatever the design of the studies behind them: each site is pooled by itself, from its own patients.`;

// %% [markdown]
// ## The arms behind it
//
// To check a count, go from its row here to the line of the sheet, and from there to the page of the paper.

// %%
const { studyInterval } = review.protocol.analysis;
notebook.show(studiesTable(pools, { interval: studyInterval, caption: 'Arms, with where each was read' }), {
  beside: 'single studies',
});
notebook.reading`A weight is the share of the rate at that site which the arm decides.`;

// %% [markdown]
// ## How much the studies differ
//
// Pain is judged by people, so studies can differ for reasons that have nothing to do with the site. The range for
// the next study carries that doubt; the interval of the mean does not.

// %%
notebook.show(heterogeneityTable(pools), { beside: 'about the studies' });
notebook.reading`${bulletList(predictionReading(pools))}`;

// %% [markdown]
// ## Does the method decide?
//
// The rates above are quoted by the method that held its promise for such counts in simulated reviews. DerSimonian-Laird
// takes each arm's rate first and averages then; it stands beside them. If the two disagree, the number says more about
// the method than about shoulders.

// %%
notebook.show(methodsCheckTable(pools), { beside: 'methods compared' });
notebook.reading`${bulletList(methodsCheckReading(pools))}`;

// %% [markdown]
// ## Arms without pain
//
// A small arm in which nobody hurts is no proof that nobody will. For each, the highest rate it leaves possible.

// %%
notebook.show(zeroArmsTable(pools), { beside: 'single studies' });
notebook.reading`${zeroArmsReading(pools)}`;

// %% [markdown]
// ## Where mid-groove belongs
//
// For pain in the groove this choice matters most: a tendon fixed in the middle of the groove still lies in it.
// Authors count such arms with the top of the groove, with suprapectoral, or split them by half. All three follow.

// %%
const ways = midGrooveRules.map((midGroove) => {
  const other = answersOf(review, { selection: { siteRule: { midGroove } } }).counts('groove-pain');
  return { name: midGrooveNames[midGroove], departures: other.selection.departures, pools: other.pools };
});
notebook.record('mid-groove rules', ways, { supporting: true });
notebook.show(
  sensitivityTable(ways, { caption: 'The three mid-groove rules', wayHeading: 'Mid-groove arms' }),
  { beside: 'other choices' },
);
const material = selection.outcome.thresholdsPer100.materialDifference / 100;
notebook.reading`${bulletList(sensitivityReading(ways, material))}`;

// %% [markdown]
// ## Small studies
//
// Series with little pain may be the ones that get written up. The picture sets each rate against the size of its
// arm, since a funnel against the standard error leans by itself when rates are low.

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
// What was not used is listed, for anyone who would have used it.

// %%
notebook.show(leftOutTable(selection.leftOut, { caption: 'Rows not used, with the reason' }));
notebook.reading`${counted(selection.leftOut.length, 'row')} ${agreeing(selection.leftOut.length, 'was', 'were')} left out. A count the paper does not give is never read as zero.`;

// %% [markdown]
// ## What we cannot tell
//
// Who looked, when, and in which kind of study sets the limit of what these rates can say.

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
  'Every arm selected is in one of the four pools or listed outside them.',
  pools.sites.reduce((sum, { pool }) => sum + pool.arms.flatMap(sheetArmsOf).length, 0) +
    pools.outside.reduce((sum, { arms }) => sum + arms.flatMap(sheetArmsOf).length, 0) ===
    selection.arms.length,
);
notebook.claimForDemo('Groove pain is commonest, by quoted rate, at the top of the groove.', () => {
  const rate = (site: string) => pools.sites.find((row) => row.site === site)?.pool.headline?.rate ?? 0;
  return ['suprapectoral', 'subpectoral', 'tenotomy'].every((site) => rate(site) < rate('top-of-groove'));
});
