// %% [markdown]
// # Cosmetic deformity by fixation site
//
// **The question.** After the long head of the biceps is fixed at the top of the groove, above the pectoralis or
// below it, or is only released: of 100 shoulders, in how many does the muscle bulge?
//
// **Why it is asked.** A bulge rarely costs strength, but patients see it every day. Some would accept a second
// incision to avoid it; others would not.
//
// **What would change the answer.** A site whose interval lies wholly on one side of a rate a patient would care
// about; studies that look at every shoulder in the same way; trials that allot the site by chance.

// %% [markdown]
// ## What was counted
//
// A rate means little before it is known who looked, when, and what counted as a deformity. These choices come
// from the protocol.

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
notebook.needsOutcome('cosmetic-deformity');
const { selection, pools } = answersOf(review).counts('cosmetic-deformity');
notebook.record('selection', selection);
notebook.show(outcomeTable(selection, { caption: 'The choices behind the count' }));
notebook.reading`${counted(selection.arms.length, 'arm')} ${agreeing(selection.arms.length, 'reports', 'report')} it in a way the protocol accepts;
  ${counted(selection.leftOut.length, 'row')} of the sheet ${agreeing(selection.leftOut.length, 'was', 'were')} not used, and ${agreeing(selection.leftOut.length, 'stands', 'stand')} below with the reason. ${protocolReading(review.protocol)}`;

// %% [markdown]
// ## The rate at each site
//
// Every site is pooled by itself, and the number quoted is named for what it is: the rule that picks it, and how often
// its interval held in simulated reviews, stand under the table. DerSimonian-Laird stands beside it. The picture shows each study, so that one large or one odd study can be seen;
// the table says the same in numbers.

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
// Every count can be walked back: to the line of the sheet it was typed in, and to the page or table of the paper.

// %%
const { studyInterval } = review.protocol.analysis;
notebook.show(studiesTable(pools, { interval: studyInterval, caption: 'Arms, with where each was read' }), {
  beside: 'single studies',
});
notebook.reading`A weight is the share of the rate at that site which the arm decides.`;

// %% [markdown]
// ## How much the studies differ
//
// A mean hides how unlike the studies are. The range for the next study shows what a surgeon who starts counting
// tomorrow might see.

// %%
notebook.show(heterogeneityTable(pools), { beside: 'about the studies' });
notebook.reading`${bulletList(predictionReading(pools))}`;

// %% [markdown]
// ## Does the method decide?
//
// The rate quoted at each site comes from the method that held its promise for such counts in simulated reviews, the
// same at all four sites. DerSimonian-Laird, which takes each arm's rate first, and the median study of the model of the
// counts stand beside it. Where they would have a reader told another number, the answer hangs on the method.

// %%
notebook.show(methodsCheckTable(pools), { beside: 'methods compared' });
notebook.reading`${bulletList(methodsCheckReading(pools))}`;

// %% [markdown]
// ## Arms without a deformity
//
// No event in a small arm looks perfect and proves little. The table gives the highest rate each such arm is
// still compatible with.

// %%
notebook.show(zeroArmsTable(pools), { beside: 'single studies' });
notebook.reading`${zeroArmsReading(pools)}`;

// %% [markdown]
// ## Where mid-groove belongs
//
// A tendon fixed in the middle of the groove is counted with the top of the groove by some authors, with
// suprapectoral by others, and split by half by a third group. The protocol picks one; here are all three.

// %%
const ways = midGrooveRules.map((midGroove) => {
  const other = answersOf(review, { selection: { siteRule: { midGroove } } }).counts('cosmetic-deformity');
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
// If small series with many deformities stay unpublished, the rate looks too low. The picture sets each rate
// against the size of its arm; for rates near nought a funnel against the standard error would lean by itself.

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
// A row that was not used stays in sight, so that anyone can disagree with the choice.

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
notebook.claimForDemo('Tenotomy has the highest rate of the four, above any tenodesis site.', () => {
  const rate = (site: string) => pools.sites.find((row) => row.site === site)?.pool.headline?.rate ?? 0;
  return ['top-of-groove', 'suprapectoral', 'subpectoral'].every((site) => rate(site) < rate('tenotomy'));
});
notebook.claimForDemo(
  'About one tenotomy in five deforms (common practice, no source): 10 to 40 in 100.',
  () => {
    const rate = pools.sites.find(({ site }) => site === 'tenotomy')?.pool.headline?.rate ?? 0;
    return rate >= 0.1 && rate <= 0.4;
  },
);
