// %% [markdown]
// # Site against site
//
// **The question.** Of two fixation sites, or of a site and release alone, which leaves fewer deformities and fewer
// revisions: and how firmly is that known?
//
// **Why it is asked.** Most published answers set single-arm rates beside each other as if patients had been allotted
// by chance. Here the same question is put to four layers of evidence, and what may be said of each pair is the answer to
// its question: from one body of studies, with how sure one may be.
//
// **What would change the answer.** Trials that allot the site by chance, of the pairs nobody has compared.

// %% [markdown]
// ## Who was compared with whom
//
// A comparison needs studies that treated patients at both sites. Sites that share no study can still be compared by way
// of a third, but only if the studies on either side are alike in everything that changes the effect. So that is looked
// at before any estimate.

// %%
import {
  type AnsweredLayers,
  absoluteEffectsTable,
  agreeing,
  answersOf,
  bulletList,
  counted,
  fitNetwork,
  layersOfEvidence,
  leagueAsTable,
  leagueTable,
  leftOutTable,
  midGrooveNames,
  midGrooveRules,
  networkAgreement,
  networkComparisonsTable,
  networkFromCounts,
  networkLayers,
  networkMap,
  networkRanks,
  networkTransitivity,
  openNotebook,
  pooledSites,
  ranksAreNotCertainty,
  rankTreatments,
  type SelectionDepartures,
  singleArmTable,
  siteLayersReading,
  siteNames,
  table,
  transitivity,
  transitivityTable,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
notebook.needsOutcome('cosmetic-deformity', 'revision');

/** Every layer of evidence on one outcome beside the answers, from one way of selecting arms. */
const evidenceOn = (outcome: string, selection: SelectionDepartures = {}) => {
  const answers = answersOf(review, Object.keys(selection).length === 0 ? {} : { selection });
  return {
    ...answers.counts(outcome),
    ...layersOfEvidence(answers, outcome, { counts: outcome === 'revision' }),
  };
};

const deformity = evidenceOn('cosmetic-deformity');
const alike = transitivity(review, deformity.selection.arms, { order: pooledSites });
notebook.draw(
  (frame) =>
    networkMap(deformity.network, { ...frame, title: 'Studies that compare two sites, for deformity' }),
  {
    title: 'Who was compared with whom',
    name: 'map',
    from: deformity.network,
  },
);
notebook.draw((frame) => networkTransitivity(alike, { ...frame }), {
  title: 'Are the comparisons alike?',
  name: 'transitivity',
  from: deformity.network,
  beside: 'about the studies',
});
notebook.show(transitivityTable(alike), { from: deformity.network, beside: 'about the studies' });
const uncompared = deformity.layers
  .filter(({ answer }) => answer?.body === 'series against series')
  .map(({ name }) => name);
const untried = deformity.trials.pairs.filter(({ studies }) => studies.length === 0).map(({ name }) => name);
const comparing = deformity.network.parts.reduce((sum, { studies }) => sum + studies.length, 0);
notebook.reading`${counted(comparing, 'study', 'studies')} ${agreeing(comparing, 'compares', 'compare')} two or
  more sites. Pairs without any study: ${uncompared.length === 0 ? 'none' : uncompared.join('; ')}. Pairs without a
  randomised trial: ${untried.length === 0 ? 'none' : untried.join('; ')}. Rows of the picture that lie apart are
  comparisons made in other patients, and a way round through them carries that difference along.`;

// %% [markdown]
// ## Deformity, in four layers
//
// The same pair, asked of randomised trials, of other studies with both arms, of the network (which adds what other
// sites tell by the way), and of single arms. The last is no comparison; it stands here to show what it would have made
// one believe.

// %%
notebook.record('deformity', {
  layers: deformity.layers,
  network: deformity.network,
  trials: deformity.trials,
  comparative: deformity.comparative,
});
notebook.draw(
  (frame) =>
    networkLayers(deformity.layers, { ...frame, title: 'Deformity: four ways to set site against site' }),
  {
    title: 'Deformity, four layers of evidence',
    name: 'layers-deformity',
    from: deformity,
    beside: 'sources compared',
  },
);
const told = (pairs: readonly AnsweredLayers[]): string => {
  const names = pairs.flatMap(({ name, answer }) =>
    answer === undefined || ['cannot be told', 'not rated'].includes(answer.verdict)
      ? []
      : [`${name} (${answer.verdict}, ${answer.certainty.level} certainty)`],
  );
  return names.length === 0
    ? 'Nothing may be said of any pair: whether the sites differ cannot be told.'
    : `Something may be said of: ${names.join('; ')}.${names.length < pairs.length ? ' Of every other pair it cannot be told.' : ''}`;
};
notebook.reading`${told(deformity.layers)}

${bulletList(siteLayersReading(deformity.layers))}

What may be said follows from where the whole interval of the difference lies against the smallest difference that
matters, and from how sure one may be: at very low certainty nothing is said. That it cannot be told does not mean that
the sites are alike.`;

// %% [markdown]
// ## What it means in 100 shoulders
//
// A ratio does not tell a patient anything. The table says each pair's pooled ratio as more or fewer in 100, at the risk
// seen in the second site's arms. Where the interval holds no difference, no single number needed to treat can be given,
// and one is given for either direction.

// %%
notebook.show(
  absoluteEffectsTable(deformity.answered, {
    caption: 'Deformity: the difference in 100 shoulders, from the studies that answer',
  }),
);
const material = deformity.selection.outcome.thresholdsPer100.materialDifference;
const reaches = ({ answer }: AnsweredLayers): boolean =>
  answer?.quoted !== undefined && Math.max(-answer.quoted.lower, answer.quoted.upper) >= material;
const measured = deformity.layers.filter(({ answer }) => answer?.quoted !== undefined);
const open = measured.filter(reaches).map(({ name }) => name);
const closed = measured.filter((pair) => !reaches(pair)).map(({ name }) => name);
notebook.reading`A difference of ${material} or more in 100 was set as one that matters. Still compatible with such a
  difference, one way or the other: ${open.length === 0 ? 'no pair' : open.join('; ')}. Excluding it:
  ${closed.length === 0 ? 'no pair' : closed.join('; ')}. These numbers inherit the design of the studies behind them:
  where those are cohorts, they describe a difference and do not promise an effect.`;

// %% [markdown]
// ## Revision, in five layers
//
// Where many arms have no revision, ratios from single studies hang on the amount added to empty cells, so a network of
// the counts themselves, which adds nothing, stands beside the others.

// %%
const revision = evidenceOn('revision');
const { layers: revisionLayers, penalised: revisionCounts } = revision;
notebook.record('revision', {
  layers: revisionLayers,
  network: revision.network,
  counts: revisionCounts,
});
notebook.draw(
  (frame) =>
    networkLayers(revisionLayers, {
      ...frame,
      title: 'Revision for the biceps: five ways to set site against site',
    }),
  {
    title: 'Revision, five layers of evidence',
    name: 'layers-revision',
    from: revision,
    beside: 'sources compared',
  },
);
const silent = new Set(
  revision.comparative.pairs.flatMap(({ studies }) =>
    studies
      .filter(({ treated, comparator }) => treated.events === 0 && comparator.events === 0)
      .map(({ study }) => study),
  ),
).size;
notebook.reading`${told(revisionLayers)}

${bulletList(siteLayersReading(revisionLayers))}

${
  silent === 0
    ? 'Every comparison within a study saw a revision at one of its two sites at least.'
    : `${counted(silent, 'comparative study', 'comparative studies')} saw no revision at either of two sites. ${agreeing(silent, 'It says', 'They say')} that it is rare at both and nothing on which has fewer.`
}`;

// %% [markdown]
// ## Direct and indirect evidence
//
// What studies of a pair say, and what the rest of the network says of it by the way. The two should agree within chance;
// when they do not, the network row is not to be believed.

// %%
notebook.draw(
  (frame) =>
    networkAgreement(deformity.network, {
      ...frame,
      splits: deformity.splits,
      axisTitle: 'Odds ratio',
      title: 'Deformity: direct and indirect evidence',
    }),
  {
    title: 'Direct and indirect evidence on deformity',
    name: 'agreement',
    from: deformity.network,
    beside: 'sources compared',
  },
);
notebook.show(
  networkComparisonsTable(deformity.network, deformity.splits, {
    caption: 'Deformity: odds ratios, direct, indirect, network',
  }),
  { from: deformity.network, beside: 'sources compared' },
);
const conflicts = deformity.splits.filter(({ pValue }) => pValue < 0.1);
notebook.reading`${
  deformity.splits.length === 0
    ? 'No pair has both kinds of evidence, so whether they agree cannot be asked.'
    : `${counted(deformity.splits.length, 'pair')} ${agreeing(deformity.splits.length, 'has', 'have')} both kinds of evidence; in ${conflicts.length} of them the two differ with p below 0.1. With few studies such a test overlooks most conflicts, so a large p is no proof of agreement.`
}`;

// %% [markdown]
// ## All against all, and why ranks are shown last
//
// The square gives every pair at once. Ranks follow from it and add nothing but an order, which is why they come last,
// as the spread of ranks a site could have.

// %%
for (const part of deformity.network.parts)
  notebook.show(
    leagueAsTable(leagueTable(part), deformity.network.scale, {
      caption: 'Deformity: odds ratio, row against column',
    }),
    { from: part, beside: 'sources compared' },
  );
const main = deformity.network.parts[0];
const ranking = main && rankTreatments(main, { better: 'lower' });
if (ranking !== undefined) {
  notebook.record('ranking', ranking, { supporting: true });
  notebook.draw(
    (frame) =>
      networkRanks(ranking, { ...frame, order: pooledSites, title: 'Deformity: ranks each site could have' }),
    {
      title: 'Possible ranks for deformity',
      name: 'ranks',
      from: deformity.network,
      beside: 'sources compared',
    },
  );
}
const wide = ranking?.treatments.filter(({ range }) => range[1] > range[0]).length ?? 0;
notebook.reading`${
  ranking === undefined
    ? 'No network links two sites, so there is nothing to rank.'
    : `${wide} of ${counted(ranking.treatments.length, 'site')} could have more than one rank. ${ranksAreNotCertainty}`
}`;

// %% [markdown]
// ## Single arms: not a comparison
//
// Every arm that reports the outcome, pooled by site, and the sites subtracted. Patients, indications, surgeons and years
// differ between the arms, so nothing here is an effect of the site.

// %%
notebook.show(
  singleArmTable(deformity.singleArms, { caption: 'Deformity in single arms: not a comparison' }),
  { from: deformity.selection.arms, beside: 'sources compared' },
);
const misleading = deformity.layers.filter(({ singleArmsMislead }) => singleArmsMislead);
notebook.reading`${
  misleading.length === 0
    ? 'For no pair do single arms claim a difference that no comparative layer bears out.'
    : `${misleading.map(({ name }) => name).join('; ')}: here single arms claim a difference that no comparative layer bears out. More arms make such a claim narrower, not truer.`
}`;

// %% [markdown]
// ## Where mid-groove belongs, and inlay apart from onlay
//
// The network depends on what counts as one site. It is refitted under each rule for mid-groove arms, and once more with
// inlay and onlay fixation as nodes of their own.

// %%
const rules = midGrooveRules.map((midGroove) => ({
  name: midGrooveNames[midGroove],
  ...evidenceOn('cosmetic-deformity', { siteRule: { midGroove } }),
}));
const verdictText = ({ answer }: AnsweredLayers): string => answer?.verdict ?? 'not asked';
notebook.show(
  table({
    caption: 'What is said of each pair under each mid-groove rule',
    columns: [
      { key: 'pair', heading: 'Pair' },
      ...rules.map(({ name }, i) => ({ key: `r${i}`, heading: name })),
    ],
    rows: deformity.layers.map(({ name }, at) => ({
      pair: name,
      ...Object.fromEntries(rules.map(({ layers }, i) => [`r${i}`, layers[at] && verdictText(layers[at])])),
    })),
  }),
  { from: rules, beside: 'other choices' },
);
const interfaceOf = new Map(
  review.arms.map(({ study, arm, inlayOrOnlay }) => [`${study} ${arm}`, inlayOrOnlay]),
);
const split = networkFromCounts(deformity.selection.arms, {
  zeroEvents: review.protocol.analysis.zeroEvents,
  node: (arm) => {
    if (arm.site === 'tenotomy') return siteNames.tenotomy;
    const kind = interfaceOf.get(`${arm.study} ${arm.arm}`);
    if (arm.site !== 'suprapectoral' && arm.site !== 'subpectoral') return undefined;
    return kind === 'inlay' || kind === 'onlay' ? `${siteNames[arm.site]}, ${kind}` : undefined;
  },
});
const splitNetwork = fitNetwork(split.studies, { leftOut: split.leftOut });
for (const part of splitNetwork.parts)
  notebook.show(
    leagueAsTable(leagueTable(part), splitNetwork.scale, {
      caption: 'Inlay and onlay as nodes of their own: odds ratio, row against column',
    }),
    { from: part, beside: 'sources compared' },
  );
const moved = deformity.layers.filter(({ answer }, at) =>
  rules.some(({ layers }) => layers[at]?.answer?.verdict !== answer?.verdict),
);
notebook.reading`${moved.length} of ${counted(deformity.layers.length, 'pair')} ${agreeing(moved.length, 'is', 'are')} called differently under some mid-groove rule. With
  inlay and onlay apart the network has ${counted(splitNetwork.parts.length, 'part')} and
  ${counted(split.studies.length, 'study', 'studies')}; arms that do not say which are left aside.`;

// %% [markdown]
// ## What was left out
//
// Studies that could not give a ratio stay in sight, with the reason.

// %%
notebook.show(
  leftOutTable([...deformity.network.leftOut, ...revision.network.leftOut], {
    caption: 'Comparative studies left out of the networks, or arms of them',
  }),
);
notebook.reading`${counted(revision.network.leftOut.length, 'entry', 'entries')} ${agreeing(revision.network.leftOut.length, 'concerns', 'concern')} revision. A study without any event says nothing on a ratio.`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so.

// %%
const everyPair = [...deformity.layers, ...revisionLayers];
notebook.claim(
  'Nothing is said of a pair at very low certainty.',
  everyPair.every(
    ({ answer }) => answer?.certainty.level !== 'very low' || answer.verdict === 'cannot be told',
  ),
);
notebook.claim(
  'Every odds ratio lies within its interval.',
  everyPair.every(({ layers }) =>
    layers.every(
      ({ oddsRatio }) =>
        oddsRatio === undefined ||
        (oddsRatio.interval.lower <= oddsRatio.value && oddsRatio.value <= oddsRatio.interval.upper),
    ),
  ),
);
notebook.claim(
  'The probabilities of the ranks of a site add up to one.',
  ranking === undefined ||
    ranking.treatments.every(
      ({ probabilities }) => Math.abs(probabilities.reduce((a, b) => a + b, 0) - 1) < 1e-9,
    ),
);
notebook.claimForDemo('Subpectoral fixation leaves fewer deformities than tenotomy in the network.', () => {
  const pair = deformity.layers.find(
    ({ treatment, comparator }) => treatment === 'subpectoral' && comparator === 'tenotomy',
  );
  return (pair?.layers.find(({ layer }) => layer === 'network')?.oddsRatio?.interval.upper ?? 1) < 1;
});
notebook.claimForDemo('Which site has fewer revisions cannot be told of any pair.', () =>
  revision.layers.every(({ answer }) => answer?.verdict === 'cannot be told'),
);
