// %% [markdown]
// # The network, checked
//
// **The question.** Can the network behind "Site against site" be trusted: is the arithmetic right, do the studies agree
// with each other, and does the answer hang on how it was analysed?
//
// **How it is answered.** Two published networks are computed again beside their printed figures. Then the review's own
// network on deformity is taken apart: by design, by loop, by study, by method.
//
// **What would change the answer.** A printed figure that differs without a reason; designs or loops that contradict each
// other; a method that gives another sign.

// %% [markdown]
// ## A published network of 26 trials
//
// Ten treatments, 26 trials, one of them with three arms. The differences, the scatter and how it falls apart into
// trials of one kind and kinds against each other, and the ranking scores are all in print.

// %%
import {
  agreesWithPrinted,
  answersOf,
  bulletList,
  comparisonAdjusted,
  contributionsTable,
  counted,
  decomposeInconsistency,
  effectBetween,
  fitNetwork,
  funnelPlot,
  loopInconsistency,
  loopsTable,
  mantelHaenszelNetwork,
  networkComparisonsTable,
  networkFromContrasts,
  networkFromCounts,
  networkStudyFromArms,
  openNotebook,
  type PrintedFigure,
  penalisedNetwork,
  poolEstimates,
  pooledSites,
  posteriorNetwork,
  printedTable,
  pText,
  rankTreatments,
  ratioText,
  siteNames,
  splitNodes,
  studyContributions,
  type TableRow,
  table,
} from '../src/index.ts';
import { glucosePrinted, glucoseTrials, parkinsonArms, parkinsonPrinted } from './data/publishedNetworks.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
notebook.needsOutcome('cosmetic-deformity');
const known = (value: number | undefined): number => {
  if (value === undefined) throw new Error('a result that should exist is missing');
  return value;
};
const agreeing = (figures: readonly PrintedFigure[]) =>
  figures.filter(({ printed, value }) => agreesWithPrinted(printed, value)).length;

const glucose = networkFromContrasts(
  glucoseTrials.map(([trial, treatment, comparator, value, standardError]) => ({
    study: trial,
    label: trial,
    treatment,
    comparator,
    value,
    standardError,
  })),
  'plain',
);
const common = fitNetwork(glucose, { model: 'common-effect' });
const random = fitNetwork(glucose, { betweenStudyVariance: 'dersimonian-laird' });
const [part] = random.parts;
if (part === undefined) throw new Error('the published network is empty');
const designs = decomposeInconsistency(part);
const { source } = glucosePrinted;
const drugs = ['metformin', 'rosiglitazone', 'acarbose', 'sulfonylurea'] as const;
const scores = rankTreatments(part, { better: 'lower' }).treatments;
const glucoseFigures: readonly PrintedFigure[] = [
  ...drugs.map((drug) => ({
    quantity: `${drug} less placebo, common effect`,
    printed: glucosePrinted[drug],
    value: known(effectBetween(common.parts, drug, 'placebo')?.value),
    source,
  })),
  { quantity: 'Q of the network', printed: glucosePrinted.q, value: part.heterogeneity.q, source },
  { quantity: 'Q within designs', printed: glucosePrinted.within, value: designs.within.q, source },
  { quantity: 'Q between designs', printed: glucosePrinted.between, value: designs.between.q, source },
  {
    quantity: 'Between-study variance, moments',
    printed: glucosePrinted.variance,
    value: known(part.heterogeneity.betweenStudyVariance),
    source,
  },
  ...Object.entries(glucosePrinted.scores).map(([drug, printed]) => ({
    quantity: `P-score of ${drug}`,
    printed,
    value: known(scores.find(({ treatment }) => treatment === drug)?.pScore),
    source,
  })),
];
notebook.show(printedTable(glucoseFigures, { caption: '26 trials of glucose-lowering drugs' }), {
  beside: 'published data',
});
notebook.record('glucose', glucoseFigures);
notebook.reading`${agreeing(glucoseFigures)} of ${glucoseFigures.length} figures agree to the last digit printed.`;

// %% [markdown]
// ## A published Bayesian network
//
// Seven trials, five treatments, a flat prior on the between-trial standard deviation up to 5. The printed figures come
// from a simulation and carry its error; here the one integral there is was done numerically, the same every time.

// %%
const trials = [...new Set(parkinsonArms.map(([trial]) => trial))].map((trial) =>
  networkStudyFromArms(
    { study: String(trial), label: `Trial ${trial}`, scale: 'mean-difference' },
    parkinsonArms
      .filter(([own]) => own === trial)
      .map(([, treatment, value, standardError]) => ({ treatment, value, variance: standardError ** 2 })),
  ),
);
const [parkinson] = fitNetwork(trials).parts;
const believed = parkinson && posteriorNetwork(parkinson, { deviationPrior: { kind: 'uniform', upper: 5 } });
if (believed === undefined) throw new Error('the published posterior is missing');
const parkinsonFigures = [
  ...Object.entries(parkinsonPrinted.effects).flatMap(([treatment, [mean, deviation]]) => {
    const found = believed.comparisons.find(
      (each) => each.treatment === '1' && each.comparator === treatment,
    );
    return [
      { quantity: `Treatment ${treatment}: mean`, printed: mean, value: -known(found?.mean) },
      {
        quantity: `Treatment ${treatment}: standard deviation`,
        printed: deviation,
        value: known(found?.standardDeviation),
      },
    ];
  }),
  {
    quantity: 'Between-trial standard deviation: mean',
    printed: parkinsonPrinted.betweenStudyDeviation[0],
    value: believed.betweenStudyDeviation.mean,
  },
  {
    quantity: 'Between-trial standard deviation: deviation',
    printed: parkinsonPrinted.betweenStudyDeviation[1],
    value: believed.betweenStudyDeviation.standardDeviation,
  },
].map((figure) => ({ ...figure, source: parkinsonPrinted.source }));
notebook.show(
  printedTable(parkinsonFigures, { caption: 'Seven trials in Parkinson disease, Bayesian random effects' }),
  { beside: 'published data' },
);
const largestGap = Math.max(
  ...parkinsonFigures.map(({ printed, value }) => Math.abs(Number(printed) - value)),
);
notebook.reading`${agreeing(parkinsonFigures)} of ${parkinsonFigures.length} agree to the last digit; the largest gap is
  ${largestGap.toFixed(4)}, within what a simulation leaves.`;

// %% [markdown]
// ## The review's network, taken apart
//
// Scatter can lie between studies that compare the same sites, or between kinds of comparison. Only the second is
// inconsistency: a sign that the way round does not lead to the same place.

// %%
const { selection, options } = answersOf(review).counts('cosmetic-deformity');
const { zeroEvents = 'leave-out', level = 0.95 } = options;
const { studies, leftOut } = networkFromCounts(selection.arms, { zeroEvents });
const network = fitNetwork(studies, { level, leftOut, order: pooledSites });
notebook.record('network', network);
const siteName = (treatment: string): string => siteNames[treatment as keyof typeof siteNames] ?? treatment;
const pairText = ({
  treatment,
  comparator,
}: {
  readonly treatment: string;
  readonly comparator: string;
}): string => `${siteName(treatment)} against ${siteName(comparator).toLowerCase()}`;
const apart = network.parts.map((each) => ({
  part: each,
  q: decomposeInconsistency(each),
  loops: loopInconsistency(each, level),
  splits: splitNodes(each, network.options),
  unsplit: splitNodes(each, network.options, { variance: 'unsplit' }),
}));
const qRow = (
  what: string,
  q: { readonly q: number; readonly degreesOfFreedom: number; readonly pValue: number | undefined },
): TableRow => ({
  what,
  q: q.q.toFixed(1),
  df: q.degreesOfFreedom,
  p: pText(q.pValue),
});
for (const { q, loops, splits, unsplit } of apart) {
  notebook.show(
    table({
      caption: 'Scatter within and between designs',
      columns: [
        { key: 'what', heading: 'Scatter' },
        { key: 'q', heading: 'Q', align: 'right' },
        { key: 'df', heading: 'df', align: 'right' },
        { key: 'p', heading: 'p', align: 'right' },
      ],
      rows: [
        qRow('Whole network', q.total),
        qRow('Within designs', q.within),
        qRow('Between designs', q.between),
        qRow('Between designs, letting studies of one design differ', q.betweenRandomEffects),
      ],
    }),
    { from: network, beside: 'about the studies' },
  );
  notebook.show(loopsTable(loops, network.scale), { from: network, beside: 'sources compared' });
  notebook.show(networkComparisonsTable(network, splits, { unsplit }), {
    from: network,
    beside: 'sources compared',
  });
}
const odd = apart.flatMap(({ loops, splits }) => [
  ...loops
    .filter(({ pValue }) => pValue < 0.1)
    .map(
      ({ treatments, pValue }) =>
        `Loop ${treatments.map(siteName).join(' \u2013 ')}: p ${pText(pValue) ?? ''}.`,
    ),
  ...splits
    .filter(({ pValue }) => pValue < 0.1)
    .map((each) => `${pairText(each)}, direct against indirect: p ${pText(each.pValue) ?? ''}.`),
]);
const tested = apart.reduce((sum, { loops, splits }) => sum + loops.length + splits.length, 0);
notebook.reading`${bulletList(
  odd.length > 0
    ? odd
    : [
        tested === 0
          ? 'No loop and no pair holds both direct and indirect evidence, so whether they agree cannot be asked.'
          : 'No test of a loop or a pair shows disagreement with p below 0.1; none of them can exclude it.',
      ],
)}`;

// %% [markdown]
// ## Which study carries which answer
//
// A network estimate can hang on a study of other sites. The table says how much of each estimate's variance comes from
// each study.

// %%
for (const { part: each } of apart)
  notebook.show(contributionsTable(each, studyContributions(each)), {
    from: each,
    beside: 'about the studies',
  });
const heaviest = apart.flatMap(({ part: each }) =>
  studyContributions(each).map(({ treatment, comparator, shares }) => {
    const most = Math.max(...shares);
    return { treatment, comparator, most, label: each.studies[shares.indexOf(most)]?.label ?? '' };
  }),
);
const dominant = heaviest.filter(({ most }) => most > 0.5);
notebook.reading`${bulletList(
  dominant.length > 0
    ? dominant.map(
        (each) => `${pairText(each)}: ${each.label} alone carries ${(100 * each.most).toFixed(0)} %.`,
      )
    : ['No single study carries more than half of any estimate.'],
)}`;

// %% [markdown]
// ## Does the method decide?
//
// The same studies under other models: common effect, other estimators of the between-study variance, intervals from the
// scatter, counts as counts, and a Bayesian answer with a stated prior.

// %%
const ways = [
  { name: 'Restricted likelihood', parts: network.parts },
  {
    name: 'Common effect',
    parts: fitNetwork(studies, { level, model: 'common-effect', order: pooledSites }).parts,
  },
  {
    name: 'Moments',
    parts: fitNetwork(studies, { level, betweenStudyVariance: 'dersimonian-laird', order: pooledSites })
      .parts,
  },
  {
    name: 'Hartung-Knapp',
    parts: fitNetwork(studies, { level, interval: 'hartung-knapp', order: pooledSites }).parts,
  },
];
const counts = penalisedNetwork(selection.arms, { level, order: pooledSites }).parts.flatMap(
  ({ comparisons }) => comparisons,
);
const mantelHaenszel = mantelHaenszelNetwork(selection.arms, { level, order: pooledSites }).parts.flatMap(
  ({ comparisons }) => comparisons,
);
const posterior = network.parts.flatMap((each) => posteriorNetwork(each, { level })?.comparisons ?? []);
const cell = (
  effect:
    | { readonly value: number; readonly interval: { readonly lower: number; readonly upper: number } }
    | undefined,
) =>
  effect &&
  `${ratioText(effect.value)} (${ratioText(effect.interval.lower)} to ${ratioText(effect.interval.upper)})`;
const byMethod = network.parts
  .flatMap(({ comparisons }) => comparisons)
  .map(({ treatment, comparator }) => {
    const same = (each: { readonly treatment: string; readonly comparator: string }) =>
      each.treatment === treatment && each.comparator === comparator;
    const believedHere = posterior.find(same);
    return {
      pair: pairText({ treatment, comparator }),
      effects: [
        ...ways.map(({ name, parts }) => ({ name, effect: effectBetween(parts, treatment, comparator) })),
        { name: 'Penalised counts', effect: counts.find(same)?.effect },
        { name: 'Mantel-Haenszel', effect: mantelHaenszel.find(same)?.effect },
        {
          name: 'Bayesian',
          effect: believedHere && { value: believedHere.median, interval: believedHere.interval },
        },
      ],
    };
  });
notebook.show(
  table({
    caption: 'Odds ratios by method',
    columns: [
      { key: 'pair', heading: 'Comparison' },
      ...(byMethod[0]?.effects ?? []).map(({ name }, i) => ({
        key: `w${i}`,
        heading: name,
        align: 'right' as const,
      })),
    ],
    rows: byMethod.map(({ pair, effects }) => ({
      pair,
      ...Object.fromEntries(effects.map(({ effect }, i) => [`w${i}`, cell(effect)])),
    })),
    notes: [
      'Bayesian: flat priors on effects, half-normal prior with scale 0.5 on the between-study standard deviation, integrated numerically. Common effect, counts and Mantel-Haenszel allow for no difference between studies and are too sure where there is one.',
    ],
  }),
  { from: network, beside: 'methods compared' },
);
const sides = byMethod.map(({ pair, effects }) => {
  const firm = effects.flatMap(({ effect }) =>
    effect === undefined ? [] : [effect.interval.lower > 0 ? 1 : effect.interval.upper < 0 ? -1 : 0],
  );
  return { pair, hangs: new Set(firm).size > 1 };
});
const hanging = sides.filter(({ hangs }) => hangs).map(({ pair }) => pair);
notebook.reading`Whether no difference is excluded hangs on the method for ${hanging.length} of ${counted(sides.length, 'pair')}${
  hanging.length > 0 ? `: ${hanging.join('; ')}` : ''
}.`;

// %% [markdown]
// ## Small studies
//
// Each study less the mean of its own comparison, so that all can share one funnel. Differences are read first site less
// second, in the order of the sites, so a lean would mean that small studies favour one end of the tendon.

// %%
const adjusted = network.parts.flatMap((each) => comparisonAdjusted(each));
const centred = poolEstimates(adjusted, { model: 'common-effect', scale: 'log-odds-ratio', level });
notebook.draw(
  (frame) =>
    funnelPlot(centred, {
      ...frame,
      title: 'Studies less the mean of their comparison',
      words: { lower: 'less than its mean', higher: 'more than its mean' },
    }),
  { title: 'Comparison-adjusted funnel', name: 'funnel', from: centred, beside: 'single studies' },
);
notebook.reading`${counted(adjusted.length, 'contrast')} from comparisons with at least two studies. ${
  adjusted.length < 10
    ? 'A funnel of so few proves nothing either way.'
    : 'A lean would have several possible causes, of which missing studies are one.'
}`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so.

// %%
notebook.claim(
  'Every printed figure of the first network agrees to its last digit.',
  agreeing(glucoseFigures) === glucoseFigures.length,
);
notebook.claim('The Bayesian figures agree within simulation error.', largestGap <= 0.011);
notebook.claim(
  'Scatter within and between designs adds up to the whole.',
  apart.every(({ q }) => Math.abs(q.within.q + q.between.q - q.total.q) < 1e-8 * Math.max(1, q.total.q)),
);
notebook.claim(
  'The shares of the studies in every estimate add up to one.',
  network.parts.every((each) =>
    studyContributions(each).every(({ shares }) => Math.abs(shares.reduce((a, b) => a + b, 0) - 1) < 1e-9),
  ),
);
