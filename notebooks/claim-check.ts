// %% [markdown]
// # Check a claim before it goes in a talk
//
// **The question.** Somebody is about to say how few shoulders had an event. What do those shoulders really rule out?
//
// **Why it is asked.** "None in our series" is heard as "never". The smaller the series, the more it hides, and a
// comparison of a small arm with a large one hides more.
//
// **What would change the answer.** More shoulders: how many, is said below. To check a sentence of your own, type it
// between the quotes in the next cell, such as `0 of 40, under 5 %` or `4 of 42 against 15 of 45`.

// %% [markdown]
// ## The claim
//
// Without a sentence of your own the claim is taken from the review: the largest arm in which nobody had a revision, or
// the arm with the lowest rate where every arm had one. The limit is a rate an audience would call rare.

// %%
import {
  answersOf,
  bulletList,
  checkClaim,
  claimPicture,
  claimTable,
  informationSize,
  informationTable,
  type NamedInformation,
  openNotebook,
  prose,
  readClaim,
  shouldersNeeded,
  siteNames,
  table,
} from '../src/index.ts';

const typed: string = '';
const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
notebook.needsOutcome('revision');
const { selection } = answersOf(review).counts('revision');
const { level } = review.protocol.analysis;
const candidates = [...selection.arms].sort(
  (a, b) => a.events / a.total - b.events / b.total || b.total - a.total,
);
const chosen = candidates[0] ?? notebook.skip('no arm reports revision in a way the protocol accepts');
const sentence = typed === '' ? `${chosen.events} of ${chosen.total}, under 1 %` : typed;
const claim = readClaim(sentence);
// The arm that makes the claim, and the rest of its study, must not bear witness for it.
const others = selection.arms.filter(
  ({ site, study }) => site === chosen.site && (typed !== '' || study !== chosen.study),
);
const checked = checkClaim(claim, { level, pool: others });
notebook.record('the claim', checked);
const where = siteNames[chosen.site].toLowerCase();
notebook.show(
  typed === ''
    ? prose`"${selection.outcome.name}: ${sentence}", somebody might say of ${chosen.label}, ${where}.`
    : prose`"${typed}", somebody is about to say.`,
);
notebook.reading`**${checked.sentence}**

${bulletList(checked.further)}`;

// %% [markdown]
// ## The picture
//
// The same series among 100 shoulders (or 1,000, where even the upper limit is below one in 100).

// %%
const name = typed === '' ? `${chosen.label}, ${where}` : 'The claim';
notebook.draw((frame) => claimPicture(checked, { ...frame, names: { claim: name } }), {
  title: 'How many there may be',
  name: 'claim',
  from: { claimed: typed === '' ? chosen : undefined, others },
  beside: 'single studies',
});
notebook.show(claimTable(checked), {
  from: { claimed: typed === '' ? chosen : undefined, others },
  beside: 'single studies',
});
notebook.reading`Half-toned circles are shoulders the series cannot speak for. A talk that shows the count should show them
  too.`;

// %% [markdown]
// ## The same claim against another arm
//
// A low count is usually set beside a higher one. How few shoulders decide such a difference, and are the arms fit to be
// compared? Here the claim stands against the arm of the same outcome with the highest rate.

// %%
const worst = candidates.length > 1 ? candidates.at(-1) : undefined;
if (worst === undefined) {
  notebook.reading`No other arm reports it, so there is nothing to set the claim beside.`;
} else {
  const against = checkClaim(
    { events: claim.events, total: claim.total, comparator: { events: worst.events, total: worst.total } },
    { level },
  );
  notebook.record('against another arm', against, { supporting: true });
  notebook.draw(
    (frame) =>
      claimPicture(against, {
        ...frame,
        title: 'The claim beside the arm with the highest rate',
        names: { claim: name, comparator: `${worst.label}, ${siteNames[worst.site].toLowerCase()}` },
      }),
    {
      title: 'Two arms, picked for their contrast',
      name: 'two-arms',
      from: [chosen, worst],
      beside: 'single studies',
    },
  );
  notebook.reading`${bulletList(against.further)}

The second arm was picked for its rate, the highest of ${selection.arms.length}. A pair picked so differs more
readily than chance allows for: that is how a talk can mislead without a false number.`;
}

// %% [markdown]
// ## How many shoulders it takes
//
// Shoulders without a single event, and with one or two, before a rate above each limit is ruled out.

// %%
const limits = [0.1, 0.05, 0.02, 0.01, 0.005];
const needed = limits.map((limit) => ({
  limit: `${Number((100 * limit).toPrecision(3))} %`,
  none: shouldersNeeded(0, limit, { level }),
  one: shouldersNeeded(1, limit, { level }),
  two: shouldersNeeded(2, limit, { level }),
  rule: shouldersNeeded(0, limit, { level, oneSided: true }),
}));
notebook.show(
  table({
    caption: 'Shoulders before "under" can be said',
    columns: [
      { key: 'limit', heading: 'Under' },
      { key: 'none', heading: 'Without an event', align: 'right' },
      { key: 'one', heading: 'With one', align: 'right' },
      { key: 'two', heading: 'With two', align: 'right' },
      { key: 'rule', heading: 'Without, one-sided', align: 'right' },
    ],
    rows: needed,
  }),
);
const enough = selection.arms.filter(({ total }) => total >= (needed.at(-2)?.none ?? 0)).length;
notebook.reading`Arms that report revision: ${selection.arms.length}. Large enough to say "under
  ${needed.at(-2)?.limit ?? ''}", if none of their shoulders had one: ${enough}.`;

// %% [markdown]
// ## What the next study should be
//
// For each outcome, a trial of release against fixation planned on the pooled rate after tenotomy and the difference the
// protocol calls material; beside it the shoulders that randomised trials of both already hold.

// %%
const rows = review.protocol.outcomes
  .filter((outcome) => outcome.kind === 'events')
  .map((outcome): NamedInformation => {
    const { arms, pools } = answersOf(review).counts(outcome.id);
    const baseline = pools.sites.find(({ site }) => site === 'tenotomy')?.pool.headline?.rate;
    const trials = arms.filter(({ design }) => design === 'randomised trial');
    const released = new Set(trials.filter(({ site }) => site === 'tenotomy').map(({ study }) => study));
    const fixed = new Set(
      trials
        .filter(({ site }) => site === 'top-of-groove' || site === 'suprapectoral' || site === 'subpectoral')
        .map(({ study }) => study),
    );
    const held = trials
      .filter(({ study }) => released.has(study) && fixed.has(study))
      .reduce((sum, { total }) => sum + total, 0);
    const difference = outcome.thresholdsPer100.materialDifference / 100;
    const usable = baseline !== undefined && baseline > 0 && baseline < 1 && baseline !== difference;
    return {
      outcome: outcome.name,
      size: usable ? informationSize(baseline, difference, held, { level }) : undefined,
    };
  });
notebook.record('the next study', { rows }, { supporting: true });
notebook.show(informationTable(rows));
const known = rows.flatMap(({ outcome, size }) => (size === undefined ? [] : [{ outcome, size }]));
const settled = known.filter(({ size }) => size.lacking === 0);
const largest = [...known].sort((a, b) => b.size.lacking - a.size.lacking)[0];
notebook.reading`${
  known.length === 0
    ? 'No outcome has a pooled rate after tenotomy to plan from.'
    : settled.length === 0
      ? 'For no outcome do the randomised trials at hand hold as many shoulders as one adequate trial would.'
      : `Randomised trials at hand hold as many shoulders as one adequate trial for: ${settled.map(({ outcome }) => outcome.toLowerCase()).join(', ')}.`
} ${
  largest === undefined
    ? ''
    : `Furthest from it is "${largest.outcome}": a trial would need ${largest.size.needed.toLocaleString('en-GB')} shoulders. A question that no trial can afford has to be answered by registries, or left open.`
}`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so. Those about the demo alone are not asked of other data.

// %%
notebook.claim(
  'The rate claimed lies within its own interval.',
  checked.exact.lower <= checked.rate && checked.rate <= checked.exact.upper,
);
notebook.claim(
  'As many shoulders without an event as are said to be needed do rule the limit out.',
  limits.every((limit, index) => {
    const total = needed[index]!.none;
    return checkClaim({ events: 0, total, limit }, { level }).limit?.verdict === 'supported';
  }),
);
notebook.claim(
  'What a comparison lacks is what it needs less what it holds.',
  known.every(({ size }) => size.lacking === Math.max(0, size.needed - size.held)),
);
notebook.claimForDemo('The demo has an arm without a revision, and it cannot support "under 1 %".', () => {
  return typed !== '' || (claim.events === 0 && checked.limit?.verdict !== 'supported');
});
