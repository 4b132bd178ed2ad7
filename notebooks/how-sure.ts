// %% [markdown]
// # How sure may we be
//
// **The question.** Of each answer this review gives: how sure may a reader be of it, and what took the certainty away?
//
// **Why it is asked.** A rate and a comparison made from the same studies do not deserve the same trust: studies of
// patients as they come can say how often something happens, and say little about which site does better. The level is a
// judgement of people. The data propose one, with what shows it; people decide, with a reason, and the reason is printed.
//
// **What would change the answer.** Better studies, further ones, or another judgement of those at hand.

// %% [markdown]
// ## How well the studies were done
//
// Each study item by item, by the instrument that counts for a rate. More ink is more concern. A study nobody judged is not
// a study of low concern.

// %%
import {
  agreeing,
  answersOf,
  bulletList,
  certaintyOverview,
  certaintySteps,
  counted,
  markedSentence,
  networkRatingsOf,
  networkRatingTable,
  openDecisions,
  openNotebook,
  qualityGrid,
  qualityTable,
  questionText,
  ratingsOf,
  studyQuality,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
const countedOutcomes = review.protocol.outcomes.filter((outcome) => outcome.kind === 'events');
const decidedOn = countedOutcomes.filter(({ id }) =>
  review.certainty.some(({ outcome, levels }) => outcome === id && levels !== 'not reported'),
);
// Every outcome somebody decided on; without decisions the first three of the protocol.
const outcomes = decidedOn.length > 0 ? decidedOn : countedOutcomes.slice(0, 3);
if (outcomes.length === 0) notebook.skip('no outcome is counted as events');
const open = openDecisions(review);
if (open.sentence !== undefined) notebook.reading`**${open.sentence}**`;
const quality = studyQuality(review);
notebook.record('quality', { quality }, { supporting: true });
notebook.draw((frame) => qualityGrid(quality, frame), {
  title: 'How well each study was done',
  name: 'quality',
  from: quality,
});
notebook.show(qualityTable(quality), { from: quality });
const readAs = (concern: string) => quality.filter((each) => each.concern === concern).length;
notebook.reading`Of ${counted(quality.length, 'study', 'studies')}, read as of low concern: ${readAs('low concern')}; of some: ${readAs('some concern')};
  of high concern: ${readAs('high concern')}; not judged: ${readAs('not judged')}. The three steps are this
  library's reading of instruments that do not share one.`;

// %% [markdown]
// ## Every answer, and how sure
//
// Rates at each site, and each pair of sites. Absolute numbers come first; the words after them are the standard's own, by
// certainty and by size. They describe and recommend nothing.

// %%
const answers = answersOf(review);
const ratings = ratingsOf(answers);
const rates = ratings.filter(({ question }) => question.kind === 'rate');
const pairs = ratings.filter(({ question }) => question.kind === 'comparison');
notebook.record('ratings', ratings, { supporting: true });
notebook.show(certaintyOverview(rates, { caption: 'How often, and how sure' }), { from: rates });
notebook.show(certaintyOverview(pairs, { caption: 'One site against another, and how sure' }), {
  from: pairs,
});
const at = (some: typeof ratings, level: string) => some.filter((each) => each.level === level).length;
const levels = (some: typeof ratings) =>
  ['high', 'moderate', 'low', 'very low'].map((level) => `${at(some, level)} ${level}`).join(', ');
const confirmed = ratings.filter((each) => each.confirmed).length;
notebook.reading`Rates: ${levels(rates)}. Comparisons: ${levels(pairs)}. Confirmed by people on every domain: ${confirmed}
  of ${ratings.length}${confirmed === ratings.length ? '' : '; in each of the others at least one domain is what the data propose, or no study answers'}. Very low means that we cannot tell, not
  that the sites are alike.`;

// %% [markdown]
// ## One rating, step by step
//
// The rating people changed most, so that their reasons can be read: the evidence for each domain, the level proposed, the
// level decided, and why.

// %%
const changed = (rating: (typeof ratings)[number]): number =>
  rating.domains.filter(({ decided, proposed }) => decided !== undefined && decided !== proposed).length;
const [shown] = [...ratings].sort(
  (a, b) =>
    changed(b) - changed(a) || Number(b.confirmed) - Number(a.confirmed) || b.body.studies - a.body.studies,
);
if (shown !== undefined) {
  notebook.show(certaintySteps(shown), { from: shown });
  notebook.reading`${questionText(shown)}: ${shown.level ?? 'no level'}. ${counted(changed(shown), 'domain')} ${agreeing(changed(shown), 'was', 'were')} decided
    otherwise than proposed. ${markedSentence(shown)}`;
}
const stale = ratings.flatMap((rating) =>
  rating.cautions
    .filter(({ code }) => code === 'decision-stale')
    .map(({ message }) => `${questionText(rating)}: ${message}`),
);
notebook.reading`${bulletList(
  stale.length > 0
    ? stale
    : [
        review.certainty.length === 0
          ? 'No decision has been recorded yet.'
          : 'No decision shown here was made on another proposal than the data make now.',
      ],
)}`;

// %% [markdown]
// ## What the network adds
//
// For pairs that few studies compare, other sites tell something by the way. A network estimate is as sure as the part that
// carries it, direct or by way of other sites, less what it loses when the two conflict and when it is imprecise.

// %%
const [first] = outcomes;
const network = first === undefined ? undefined : networkRatingsOf(answers, first.id);
if (network !== undefined && network.length > 0) {
  notebook.show(networkRatingTable(network, { caption: `${first?.name}: how sure the network makes us` }));
  const surer = network.filter(({ question, level }) => {
    const alone = pairs.find((each) => JSON.stringify(each.question) === JSON.stringify(question))?.level;
    return (
      ['very low', 'low', 'moderate', 'high'].indexOf(level ?? '') >
      ['very low', 'low', 'moderate', 'high'].indexOf(alone ?? '')
    );
  }).length;
  notebook.reading`The network makes ${surer} of ${counted(network.length, 'pair')} surer than the studies of the pair alone. Its parts are
    rated before their imprecision, so a part can stand higher here than in the table above.`;
} else notebook.reading`No network links the sites for this outcome.`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so.

// %%
notebook.claim(
  'Every level follows from its start and its domains.',
  ratings.every(({ steps, level }) => level === undefined || steps.length > 0),
);
notebook.claim(
  'No decision stands without a reason.',
  ratings.every(({ domains }) =>
    domains.every(({ decided, reason }) => decided === undefined || (reason ?? '').trim() !== ''),
  ),
);
notebook.claim(
  'Series set against series are never rated above low.',
  ratings.every(
    ({ body, level }) =>
      body.design !== 'series against series' ||
      level === 'low' ||
      level === 'very low' ||
      level === undefined,
  ),
);
notebook.claimForDemo('People decided against a proposal at least once.', () =>
  ratings.some((each) => changed(each) > 0),
);
