// %% [markdown]
// # Cosmetic deformity: check a claim
//
// **The question.** In adults whose long head of the biceps is treated at the shoulder, how often do deformity, groove pain and revision follow fixation at the top of the groove, suprapectoral or subpectoral fixation, or release alone?
//
// **Why this page.** Made from a view of the live page of "Where to fix the long head of the biceps: invented demonstration review" (folder data\-extraction/demo, last
// search 2026\-06\-30, tenosite 0). These results support clinical judgement and local guidance and never replace them\. Treatment decisions rest with a licensed clinician and the patient\.
//
// **What would change the answer.** The choices below: 8 of them depart from the protocol.
//
// - Assessors accepted: blinded examiner, examiner, where the protocol has blinded examiner, examiner, photograph panel\.
//
// - Time window: 6 to 200 months, where the protocol has 12 to 120 months\.
//
// - Studies of low quality: left out, where the protocol counts them \(Tavistrand 2011, Veldwyk 2013, Lindaro 2015, Belcastra 2018, Lorrimond 2020, Stellamar 2024\)\.
//
// - Studies switched off: Norholt 2009\.
//
// - Arms without events: left out of the pool, where the protocol has 0\.5 added to each cell\.
//
// - Between\-study variance: restricted maximum\-likelihood method, where the protocol has DerSimonian\-Laird method of moments\.
//
// - Interval of the pooled rate: Hartung\-Knapp, where the protocol has Wald\.
//
// - Confidence of every interval: 90 %, where the protocol has 95 %\.

// %%
import {
  answersOf,
  bulletList,
  checkClaim,
  claimPicture,
  claimTable,
  lowQualityStudies,
  openNotebook,
  outcomeTable,
  poolingDepartures,
  ratesBySiteTable,
  ratesReading,
  readClaim,
} from '../../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
notebook.needsOutcome("cosmetic-deformity");

// %% [markdown]
// ## What was counted, and the rate at each site
//
// The choices of the view: what counts, which studies, how they are pooled.

// %%
const outcomeId = "cosmetic-deformity";
const notGoodEnough = lowQualityStudies(review, outcomeId);
const answers = answersOf(review, {
  selection: {"assessors":["blinded examiner","examiner"],"windowMonths":{"minimum":6,"maximum":200}},
  pooling: {"zeroEvents":"leave-out","betweenStudyVariance":"restricted-maximum-likelihood","interval":"hartung-knapp","level":0.9},
  notFound: [...notGoodEnough],
  switchedOff: ["norholt-2009"],
});
const { selection, arms, options, pools } = answers.counts(outcomeId);
const departures = [
  ...selection.departures,
  "Studies of low quality: left out, where the protocol counts them (Tavistrand 2011, Veldwyk 2013, Lindaro 2015, Belcastra 2018, Lorrimond 2020, Stellamar 2024).",
  "Studies switched off: Norholt 2009.",
  ...poolingDepartures(review.protocol, selection.outcome, options),
];
notebook.record('pools', { departures, pools, arms: arms.length, options });
notebook.show(outcomeTable(selection, { caption: 'The choices behind the count' }));
notebook.show(ratesBySiteTable(pools, { caption: `${selection.outcome.name} at each site` }));
notebook.reading`${bulletList(ratesReading(pools))}`;

// %% [markdown]
// ## Can this be said in a talk?
//
// What the view shows.

// %%
const sentence = "1 of 40, under 5 %";
const pool = arms.filter(({ site }) => site === "subpectoral");
const level = options.level ?? review.protocol.analysis.level;
const checked = checkClaim(readClaim(sentence), { level, pool });
notebook.record('the claim', checked);
notebook.reading`${bulletList([checked.sentence, ...checked.further])}`;
notebook.draw((frame) => claimPicture(checked, { ...frame, names: { claim: 'The claim' } }), { title: 'How many there may be' });
notebook.show(claimTable(checked));
