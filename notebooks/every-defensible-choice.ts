// %% [markdown]
// # Every defensible choice
//
// **The question.** Does the shoulder hurt over the groove less often after subpectoral fixation than after fixation at
// the top of the groove, and does the answer depend on how it is worked out?
//
// **Why it is asked.** A review makes a dozen choices that another careful review would make otherwise. Each can be
// defended; together they may make the answer. Most readers never see the analyses that were not done.
//
// **What would change the answer.** A choice that alone moves it across a line that matters. Then the choice is what
// should be argued about, before the operation is.

// %% [markdown]
// ## The grid
//
// Where mid-groove belongs, which definitions and time points count, which studies, which of two reports, on which scale,
// what to do with arms without events, how far studies are taken to differ, which interval. The protocol's own option
// stands first. Nothing is sampled: every combination is run.

// %%
import {
  answersOf,
  bulletList,
  choiceInfluenceTable,
  choicesRangeTable,
  choicesReading,
  conclusionsTable,
  judgeMissingEvidence,
  markedSentence,
  missingBounds,
  missingBoundsTable,
  missingEvidence,
  missingJudgementTable,
  missingMatrix,
  missingRecords,
  missingTable,
  openNotebook,
  pooledSites,
  runChoices,
  runChoicesAt,
  shareOfConclusions,
  siteNames,
  specificationCurve,
  summariseChoices,
  table,
  verdictClause,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
notebook.needsOutcome('groove-pain');
const answers = answersOf(review);
const { selection, options } = answers.counts('groove-pain');
const compared = answers.to({
  kind: 'comparison',
  outcome: 'groove-pain',
  site: 'top-of-groove',
  comparator: 'subpectoral',
});
const run = runChoices(review, 'groove-pain', { site: 'subpectoral', minus: 'top-of-groove' });
const summary = summariseChoices(run);
notebook.record('every analysis of the difference', summary);
notebook.show(
  table({
    caption: 'What may be chosen, the protocol first',
    columns: [
      { key: 'choice', heading: 'Choice' },
      { key: 'options', heading: 'Options' },
    ],
    rows: run.dimensions.map(({ name, options }) => ({ choice: name, options: options.join('; ') })),
  }),
);
notebook.reading`${summary.analyses} analyses were run. Different sets of arms behind them:
  ${summary.distinctSelections}. What was not run comes to the same as something that was: ${
    summary.notRun
      .map(({ reason, combinations }) => `${reason} (${combinations.toLocaleString('en-GB')} combinations)`)
      .join('; ') || 'nothing'
  }.`;

// %% [markdown]
// ## One curve
//
// All answers from the lowest to the highest, with the interval of each, and below them which option each analysis took.
// An option whose strip is dark at one end only is one that pushes the answer there.

// %%
const order = summary.influence.map(({ dimension }) => dimension);
notebook.draw((frame) => specificationCurve(run, { ...frame, order, shares: summary.shares }), {
  title: 'Every analysis, and the choices that made it',
  name: 'specification-curve',
  from: selection,
  beside: 'other choices',
});
notebook.reading`${bulletList(choicesReading(summary))}

Each site is pooled from its own arms, whatever the choices: no analysis of the grid is a randomised comparison. The grid
    varies the two-step pool that the protocol names; the rate quoted on the other pages is picked by measured coverage and
    can differ from it.`;

// %% [markdown]
// ## What the analyses conclude
//
// The share that supports each conclusion. Choices that make no difference inflate a share, so the last column counts
// analyses of the same arms once.

// %%
notebook.show(conclusionsTable([summary], { caption: 'Conclusions, and how many analyses reach them' }), {
  from: selection,
  beside: 'other choices',
});
const own = summary.shares.find(({ protocol }) => protocol);
notebook.reading`Of the two rates the protocol's own analysis concludes: ${own?.conclusion ?? 'nothing'}. A share says how far
  that survives other choices. It is not the probability that it is true: all analyses rest on the same studies.

The grid sets single arms side by side and concludes about their rates, never about what the site does. That is answered
by ${compared.body}: ${verdictClause(compared)}. ${markedSentence({ sentence: compared.sentence, answer: compared.id })}`;

// %% [markdown]
// ## Which choices move it
//
// Analyses that differ in one choice alone, side by side: how far apart are their answers, and do they conclude alike?

// %%
notebook.show(choiceInfluenceTable(summary, { caption: 'Choices, the most moving first' }), {
  from: selection,
  beside: 'other choices',
});
const [most] = summary.influence;
const deciding = summary.influence.filter(({ changesConclusion }) => changesConclusion > 0.1);
notebook.reading`${
  deciding.length === 0
    ? 'No choice changes the conclusion in more than one in ten of the analyses around it.'
    : `Changing it alone changes the conclusion in more than one in ten of otherwise equal analyses: ${deciding.map(({ name }) => name.toLowerCase()).join(', ')}.`
} An interval moves no estimate, and may still move a conclusion.`;

// %% [markdown]
// ## The rate at each site
//
// The same grid asked of each site by itself, where no comparison is made, with the protocol's own interval.

// %%
const { interval } = review.protocol.analysis;
const sites = runChoicesAt(
  review,
  'groove-pain',
  pooledSites.map((site) => ({ site })),
  { grid: { interval: [interval] } },
).map((each) => summariseChoices(each));
notebook.record('every analysis at each site', { sites }, { supporting: true });
notebook.show(choicesRangeTable(sites, { caption: 'Groove pain per 100 shoulders, over all analyses' }), {
  from: selection,
  beside: 'other choices',
});
const material = run.outcome.thresholdsPer100.materialDifference;
const wide = sites.filter(
  ({ answers }) => answers !== undefined && 100 * (answers.highest - answers.lowest) >= material,
);
notebook.reading`${
  wide.length === 0
    ? `At no site do the answers differ by the ${material} in 100 that would matter.`
    : `The answers differ by the ${material} in 100 that would matter, or more, at: ${wide.map(({ target }) => siteNames[target.site].toLowerCase()).join(', ')}.`
}`;

// %% [markdown]
// ## The choice nobody made: results that are not there
//
// No analysis can use what a study did not report. The matrix shows which study says nothing of which outcome. Silence
// is not a report of no events.

// %%
const evidence = missingEvidence(review);
notebook.record('missing evidence', evidence, { supporting: true });
notebook.draw((frame) => missingMatrix(evidence, frame), {
  title: 'Which study reports which outcome',
  name: 'missing-matrix',
});
notebook.show(missingTable(evidence));
const least = [...evidence.outcomes].sort((a, b) => a.share - b.share)[0];
notebook.reading`${
  least === undefined
    ? 'The protocol names no outcome.'
    : `Least often in the analysis is "${least.name}": ${least.studies.used} of ${evidence.studies.length} studies. Studies that look for a harm and find it may be the ones that print it.`
}`;

// %% [markdown]
// ## How far the missing results could move the rate
//
// Arms without a usable count are given one: no shoulder had it, all had it, and odds twice those reported. The ends hold
// whatever the reason; the middle is a judgement. Reviewers' own judgements stand below, and "not judged" where none was
// recorded.

// %%
const bounds = pooledSites.map((site) => missingBounds(review, 'groove-pain', site, options));
notebook.record('bounds', { bounds }, { supporting: true });
notebook.show(
  missingBoundsTable(bounds, {
    caption: 'Groove pain if the missing arms were as good, or as bad, as can be',
  }),
  { from: bounds, beside: 'other choices' },
);
const judgedMissing = judgeMissingEvidence(evidence, missingRecords(review));
notebook.show(missingJudgementTable(judgedMissing));
const judgedPain = judgedMissing.find(({ outcome }) => outcome === 'groove-pain')?.overall ?? 'not judged';
const silent = bounds.reduce((sum, { missing }) => sum + missing.length, 0);
const shoulders = bounds.reduce((sum, { missingShoulders }) => sum + missingShoulders, 0);
notebook.reading`Arms without a usable count of groove pain: ${silent}, with ${shoulders} shoulders. ${
  judgedPain === 'not judged'
    ? 'No reviewer has judged the missing evidence on groove pain, so none is claimed.'
    : `The reviewers judged the risk of bias from missing evidence on groove pain: ${judgedPain}.`
} Outcomes without a judgement say so and are not read as low.`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so. Those about the demo alone are not asked of other data.

// %%
const total = shareOfConclusions(run).reduce((sum, { analyses }) => sum + analyses, 0);
notebook.claim('Every analysis reaches one conclusion.', total === run.analyses.length);
notebook.claim(
  'Every interval holds its own answer.',
  run.analyses.every(
    ({ value, lower, upper }) => value === undefined || (lower! <= value && value <= upper!),
  ),
);
notebook.claim(
  'The best and the worst case lie on either side of what is reported.',
  bounds.every(({ scenarios }) => {
    const reported = scenarios.find(({ oddsRatio }) => oddsRatio === 1)?.rate ?? 0;
    return (scenarios[0]?.rate ?? 0) <= reported && reported <= (scenarios.at(-1)?.rate ?? 1);
  }),
);
notebook.claimForDemo(
  'More than five thousand analyses were run, and one choice at least moves the answer.',
  () => {
    return run.analyses.length > 5000 && (most?.averageRange ?? 0) > 0;
  },
);
notebook.claimForDemo('No analysis finds more groove pain after subpectoral fixation.', () =>
  summary.shares.every(({ conclusion, analyses }) => !conclusion.startsWith('more') || analyses === 0),
);
