// %% [markdown]
// # Evidence tables for a committee
//
// **The question.** What happens to 1000 shoulders with one site rather than another, how often does each outcome
// follow each operation, and how sure may a committee be of every cell?
//
// **Why it is asked.** A committee does not vote on a forest plot. It defends a table, cell by cell: the number, the
// studies behind it, and the reasons why it is more or less certain.
//
// **What would change the answer.** A study that moves an interval across a threshold; a person who overrules a
// proposal, with a reason; another risk to start from.

// %% [markdown]
// ## How often, at each site
//
// A rate has a certainty of its own: series that say little about which site is better may say well how often
// something happens. Levels that people have not decided on are marked as proposed.

// %%
import {
  agreeing,
  bulletList,
  certaintyLevels,
  characteristicsTable,
  counted,
  evidenceDocument,
  evidenceOfReview,
  evidenceProfile,
  markedSentence,
  openNotebook,
  pairName,
  rateFindings,
  settingText,
  summaryOfFindings,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
const { protocol } = review;
if (
  !protocol.outcomes.some(
    ({ kind, id }) => kind === 'events' && review.events.some((row) => row.outcome === id),
  )
)
  notebook.skip('no row of events.csv reports an outcome of the protocol');
// Fixation against release; the document on the command line holds every pair that some study compares.
const fixed = protocol.sites.filter((site) => site !== 'tenotomy');
const pairs = fixed.map((site) => [site, 'tenotomy'] as const);
const evidence = evidenceOfReview(review, { pairs, forests: false });
const takeAgain = evidence.openDecisions?.sentence;
if (takeAgain !== undefined) notebook.reading`**${takeAgain}**`;
notebook.show(rateFindings(protocol, evidence.rates), { name: 'rates' });
const levelsOf = (ratings: typeof evidence.rates) =>
  [...[...certaintyLevels].reverse(), undefined]
    .map((level) => ({
      level: level ?? 'no study',
      count: ratings.filter((each) => each.level === level).length,
    }))
    .filter(({ count }) => count > 0);
const inWords = (ratings: typeof evidence.rates) =>
  levelsOf(ratings)
    .map(({ level, count }) => `${count} ${level}`)
    .join(', ');
const rated = evidence.rates.filter(({ level }) => level !== undefined);
const open = rated.filter(({ confirmed }) => !confirmed).length;
notebook.reading`Of ${counted(evidence.rates.length, 'rate')} by certainty: ${inWords(evidence.rates)}. ${
  rated.length === 0
    ? 'No study reports any of them.'
    : open === 0
      ? 'People have decided on every one that is rated.'
      : `${counted(open, 'rating')} ${agreeing(open, 'waits', 'wait')} for a person's decision in at least one domain; a proposal counts until there is one.`
}`;

// %% [markdown]
// ## Fixation against release, in 1000 shoulders
//
// Each effect is said at several risks, because the same ratio means more where the risk is higher. Outcomes nobody
// reports stay in the table. Every change of level has its reason below.

// %%
const setting = settingText(review);
for (const [at, { ratings, scores = [] }] of evidence.comparisons.entries())
  notebook.show(summaryOfFindings(protocol, ratings, { setting, scores }), {
    name: `findings-${pairs[at]![0]}`,
  });
const compared = evidence.comparisons.flatMap(({ ratings }) => ratings);
notebook.record(
  'ratings',
  [...evidence.rates, ...compared].map(({ question, start, level, confirmed, sentence, domains, steps }) => ({
    question,
    start,
    level,
    confirmed,
    sentence,
    domains,
    steps,
  })),
);
const tellable = compared.filter(({ level }) => level !== undefined && level !== 'very low');
notebook.reading`Of ${counted(compared.length, 'comparison')} by certainty: ${inWords(compared)}. ${bulletList(
  tellable.length === 0
    ? ['For none of them does the evidence tell what happens.']
    : tellable.map(markedSentence),
)}`;

// %% [markdown]
// ## Why each answer is as certain as it is
//
// The evidence profile of the comparison with the most studies: what each level starts from, what the data show in
// every domain, who judged, and why.

// %%
const studiesOf = (ratings: readonly (typeof compared)[number][]) =>
  ratings.reduce((sum, { body }) => sum + body.studies, 0);
const fullest = [...evidence.comparisons].sort((a, b) => studiesOf(b.ratings) - studiesOf(a.ratings))[0];
if (fullest !== undefined && fullest.ratings[0]?.question.kind === 'comparison') {
  const { site, comparator } = fullest.ratings[0].question;
  notebook.show(
    evidenceProfile(protocol, fullest.ratings, {
      caption: `Evidence profile: ${pairName(site, comparator)}`,
    }),
    { name: 'profile' },
  );
}
const decided = compared.flatMap(({ domains }) => domains).filter((each) => each.decided !== undefined);
const otherwise = decided.filter((each) => each.decided !== each.proposed).length;
notebook.reading`${
  decided.length === 0
    ? 'No judgement of these comparisons is a decision of people yet.'
    : `${counted(decided.length, 'judgement')} of these comparisons ${agreeing(decided.length, 'is a decision', 'are decisions')} of people; ${otherwise} of them ${agreeing(otherwise, 'differs', 'differ')} from what the data proposed.`
}`;

// %% [markdown]
// ## The studies
//
// What kind of studies these are, for a reader who asks whether they are like the patients at hand.

// %%
notebook.show(characteristicsTable(review, evidence.quality), { name: 'characteristics' });
notebook.reading`${counted(review.studies.length, 'report')}, ${counted(review.arms.length, 'arm')}. What a paper does not say is "not
  reported", and no sum is made of a part.`;

// %% [markdown]
// ## To take along
//
// The findings as a document: title, question, last search, key messages, rates, comparisons and studies. `npm run
// document` makes the whole one, with all pairs of sites, every study's picture and an evidence profile for each answer.

// %%
const document = evidenceDocument(review, evidence, { profiles: false });
notebook.attach(document, { name: 'document' });
notebook.reading`The document holds ${document.blocks.filter(({ kind }) => kind === 'table').length} tables. Its table rows
  do not split across pages, and wide tables stand on pages turned on their side.`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so. Those about the demo alone are not asked of other data.

// %%
notebook.claim(
  'Every difference in 1000 is the risk with the one operation less the risk with the other.',
  compared.every(({ body }) =>
    body.absolute.every(
      ({ risk, baselineRisk, difference }) => Math.abs(risk.value - baselineRisk - difference.value) < 1e-12,
    ),
  ),
);
notebook.claim(
  'Every level is its start plus the levels of its domains, held between very low and high.',
  [...evidence.rates, ...compared].every(({ level, start, domains }) => {
    if (level === undefined) return true;
    const sum = domains.reduce((total, { levels }) => total + levels, certaintyLevels.indexOf(start.level));
    return certaintyLevels.indexOf(level) === Math.min(3, Math.max(0, sum));
  }),
);
notebook.claim(
  'Every decision of a person has a reason.',
  [...evidence.rates, ...compared].every(({ domains }) =>
    domains.every((each) => each.decided === undefined || (each.reason ?? '') !== ''),
  ),
);
notebook.claimForDemo('Some certainties are decided and some only proposed.', () => {
  const rated = [...evidence.rates, ...compared].filter(({ level }) => level !== undefined);
  return rated.some(({ confirmed }) => confirmed) && rated.some(({ confirmed }) => !confirmed);
});
