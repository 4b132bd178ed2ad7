// %% [markdown]
// # One question, every method
//
// **The question.** A statistician reviewing these pages will ask: would another estimator, another interval or
// another scale have given another answer?
//
// **Why it is asked.** The protocol names one pool, and any method can mislead with few studies or rare events. The
// honest reply is to run the others and show them. What is quoted elsewhere is picked by measured coverage and stands
// first; this page varies the protocol's own pool, DerSimonian-Laird unless it says otherwise.
//
// **What would change the answer.** A choice that moves the pooled rate, or its interval, across a line a patient or a
// surgeon would care about. Where no choice does, the method does not decide; where one does, the data alone cannot.

// %% [markdown]
// ## The two pools put to the question
//
// One that is easy (a common event) and one that is hard (a rare one). Within each outcome the site taken is the one
// whose studies differ most, since that is where methods part.

// %%
import {
  answersOf,
  bulletList,
  compareMethods,
  counted,
  type Interval,
  type IntervalRow,
  intervalRows,
  type MethodAnswer,
  openNotebook,
  percentDigits,
  percentLimits,
  printAnswer,
  pText,
  type Table,
  table,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
notebook.needsOutcome('cosmetic-deformity', 'revision');

const questioned = ['cosmetic-deformity', 'revision'].flatMap((id) => {
  const { selection, options, pools } = answersOf(review).counts(id);
  const spreadOf = (pool: (typeof pools.sites)[number]['pool']) =>
    pool.twoStep.heterogeneity?.betweenStudyVarianceInterval?.upper ?? 0;
  const [hardest] = [...pools.sites]
    .filter(({ pool }) => pool.studies >= 3 && pool.events > 0)
    .sort((a, b) => spreadOf(b.pool) - spreadOf(a.pool));
  if (hardest === undefined) return [];
  return [
    {
      outcome: selection.outcome,
      site: hardest.name,
      answer: answersOf(review).to({ kind: 'rate', outcome: id, site: hardest.site }),
      options,
      material: selection.outcome.thresholdsPer100.materialDifference / 100,
      compared: compareMethods(hardest.pool.arms, options),
    },
  ];
});
if (questioned.length === 0) notebook.skip('no site has three studies with an event to pool');
notebook.record(
  'methods compared',
  questioned.map(({ outcome, site, compared }) => ({ outcome: outcome.id, site, compared })),
  { supporting: true },
);
notebook.reading`${bulletList(
  questioned.map(
    ({ outcome, site, answer }) =>
      `${outcome.name}, ${site}: ${counted(answer.events ?? 0, 'event')} in ${counted(answer.shoulders, 'shoulder')} of ${counted(answer.studies, 'study', 'studies')}. Quoted: ${printAnswer(answer) ?? 'no rate could be pooled'}${answer.quoted === undefined ? '' : ` (${answer.quoted.method})`}.`,
  ),
)}`;

// %% [markdown]
// ## How much do the studies differ? Nine estimators
//
// The between-study variance decides how weights are shared out and how wide intervals get. Each estimator puts the
// same idea into another equation.

// %%
const asRow = ({ name, chosen, pool }: MethodAnswer): IntervalRow => ({
  label: name,
  chosen,
  value: pool.twoStep.natural?.value,
  interval: pool.twoStep.natural?.interval,
  ...(pool.twoStep.natural === undefined ? { detail: 'nothing to pool' } : {}),
});
const withLimits = (rate: number | undefined, interval: Interval | undefined): string =>
  rate === undefined
    ? 'no answer'
    : `${percentDigits(rate)}${interval ? ` (${percentLimits(interval)})` : ''}`;
const framed = (name: string) =>
  questioned.map((each) => ({ ...each, title: `${each.outcome.name}, ${each.site}: ${name}` }));
for (const { outcome, title, compared } of framed('the pooled rate by nine variance estimators')) {
  notebook.draw(
    (frame) =>
      intervalRows(
        [
          {
            heading: 'Estimator of the between-study variance',
            rows: compared.varianceEstimators.map(asRow),
          },
        ],
        {
          ...frame,
          title,
          ...(compared.chosen.twoStep.natural === undefined
            ? {}
            : {
                reference: compared.chosen.twoStep.natural.value,
                referenceMeaning: "the protocol's answer",
              }),
        },
      ),
    { title, name: `estimators-${outcome.id}`, from: compared, beside: 'methods compared' },
  );
}
/** The scale of the protocol's pool, on which its variance lies. */
const scaleOf = ({ compared }: (typeof questioned)[number]): string =>
  ({
    logit: 'log odds',
    log: 'log rates',
    arcsine: 'arcsines',
    'double-arcsine': 'double arcsines',
    raw: 'rates',
  })[compared.chosen.options.scale];
/** Three significant figures: a variance of arcsines is a hundred times smaller than one of log odds. */
const varianceText = (value: number): string => (value === 0 ? '0' : Number(value.toPrecision(3)).toString());
const ratioText = (test: { readonly statistic: number; readonly pValue: number } | undefined): string =>
  test === undefined ? 'no likelihood' : `${test.statistic.toFixed(1)} (${pText(test.pValue)})`;
const varianceTable = (each: (typeof questioned)[number]): Table =>
  table({
    caption: `${each.outcome.name}, ${each.site}: between-study variance`,
    columns: [
      { key: 'estimator', heading: 'Estimator' },
      { key: 'variance', heading: `Between-study variance (${scaleOf(each)})`, align: 'right' },
      { key: 'error', heading: 'Standard error', align: 'right' },
      { key: 'ratio', heading: 'Likelihood ratio of one rate (p)', align: 'right' },
      { key: 'share', heading: 'Share of variation beyond chance, %', align: 'right' },
      { key: 'rate', heading: 'Rate per 100', align: 'right' },
    ],
    rows: each.compared.varianceEstimators.map(({ name, pool }) => ({
      estimator: name,
      variance: pool.twoStep.heterogeneity
        ? varianceText(pool.twoStep.heterogeneity.betweenStudyVariance)
        : 'no answer',
      error:
        pool.twoStep.heterogeneity?.betweenStudyVarianceStandardError === undefined
          ? 'no formula'
          : varianceText(pool.twoStep.heterogeneity.betweenStudyVarianceStandardError),
      ratio: ratioText(pool.twoStep.heterogeneity?.likelihoodRatio),
      share: pool.twoStep.heterogeneity
        ? Math.round(100 * pool.twoStep.heterogeneity.iSquaredFromVariance.value)
        : 'no answer',
      rate: pool.twoStep.natural ? percentDigits(pool.twoStep.natural.value) : 'no answer',
    })),
  });
for (const each of questioned)
  notebook.show(varianceTable(each), { from: each.compared, beside: 'methods compared' });
const moves = (answers: readonly MethodAnswer[]) => {
  const rates = answers.flatMap(({ pool }) => (pool.twoStep.natural ? [pool.twoStep.natural.value] : []));
  return { low: Math.min(...rates), high: Math.max(...rates) };
};
notebook.reading`${bulletList(
  questioned.map(({ outcome, site, material, compared }) => {
    const { low, high } = moves(compared.varianceEstimators);
    return `${outcome.name}, ${site}: from ${percentDigits(low)} to ${percentDigits(high)} per 100, ${
      high - low < material ? 'less than' : 'at least'
    } the ${percentDigits(material)} per 100 the protocol calls a difference that would matter.`;
  }),
)}`;

// %% [markdown]
// ## How sure is the variance itself? Five intervals
//
// A single figure for the variation between studies hides how badly it is known. The intervals say.

// %%
for (const each of questioned) {
  notebook.show(
    table({
      caption: `${each.outcome.name}, ${each.site}: intervals of the between-study variance`,
      columns: [
        { key: 'method', heading: 'Method' },
        { key: 'variance', heading: `Between-study variance (${scaleOf(each)})`, align: 'right' },
        { key: 'share', heading: 'Share beyond chance, %', align: 'right' },
      ],
      rows: each.compared.varianceIntervals.map(({ name, pool }) => {
        const limits = pool.twoStep.heterogeneity?.betweenStudyVarianceInterval;
        const share = pool.twoStep.heterogeneity?.iSquaredFromVariance.interval;
        return {
          method: name,
          variance: limits
            ? `${varianceText(limits.lower)} to ${varianceText(limits.upper)}`
            : 'no variance fits',
          share: share ? `${Math.round(100 * share.lower)} to ${Math.round(100 * share.upper)}` : 'no answer',
        };
      }),
    }),
    { from: each.compared, beside: 'methods compared' },
  );
}
notebook.reading`Where an interval starts at nought and ends high, the data cannot tell studies that agree from studies
  that differ widely; any single figure for the variation should then be read as a guess.`;

// %% [markdown]
// ## How sure is the rate? Six intervals
//
// The usual interval takes the variation between studies as known. The others allow for its being a guess.

// %%
for (const { outcome, title, compared } of framed('six intervals for the pooled rate')) {
  notebook.draw(
    (frame) =>
      intervalRows([{ heading: 'Interval for the mean', rows: compared.meanIntervals.map(asRow) }], {
        ...frame,
        title,
        notes: [
          'The two likelihood intervals stand around the maximum-likelihood mean, the others around the chosen one.',
        ],
      }),
    { title, name: `intervals-${outcome.id}`, from: compared, beside: 'methods compared' },
  );
}
const width = ({ pool }: MethodAnswer) =>
  pool.twoStep.natural?.interval === undefined
    ? undefined
    : pool.twoStep.natural.interval.upper - pool.twoStep.natural.interval.lower;
notebook.reading`${bulletList(
  questioned.map(({ outcome, site, compared }) => {
    const known = compared.meanIntervals.filter((each) => width(each) !== undefined);
    const sorted = [...known].sort((a, b) => (width(a) ?? 0) - (width(b) ?? 0));
    const [shortest, widest] = [sorted[0]!, sorted[sorted.length - 1]!];
    return `${outcome.name}, ${site}: the shortest is the ${shortest.name}, the widest the ${widest.name}, ${((width(widest) ?? 0) / (width(shortest) ?? 1)).toFixed(1)} times as wide.`;
  }),
)}`;

// %% [markdown]
// ## What may the next hospital see? Five predictions
//
// A surgeon elsewhere does not work in the average study. The prediction interval speaks of the next one.

// %%
for (const { outcome, title, compared } of framed('five prediction intervals')) {
  notebook.draw(
    (frame) =>
      intervalRows(
        [
          {
            heading: 'Prediction for a new study, from',
            rows: compared.predictionIntervals.map(({ name, chosen, pool }) => ({
              label: name,
              chosen,
              value: pool.twoStep.natural?.value,
              interval: pool.twoStep.natural?.interval,
              prediction: pool.twoStep.natural?.prediction,
            })),
          },
        ],
        { ...frame, title },
      ),
    { title, name: `prediction-${outcome.id}`, from: compared, beside: 'methods compared' },
  );
}
notebook.reading`The bootstrap lets the variation between studies itself vary as far as the data allow, which is why it
  tends to be the widest where studies are few.`;

// %% [markdown]
// ## Does the scale decide?
//
// Rates can be pooled as they are or on a scale on which they behave better. Where events are rare the scales part,
// since each treats an arm without events in its own way.

// %%
for (const { outcome, title, compared } of framed('five scales and the one-step model')) {
  notebook.draw(
    (frame) =>
      intervalRows(
        [
          { heading: 'Two steps: a rate per arm, then their mean', rows: compared.scales.map(asRow) },
          {
            heading: 'One step: the counts themselves',
            rows: [
              {
                label: 'binomial-normal model, median study',
                value: compared.chosen.oneStep.rate,
                interval: compared.chosen.oneStep.interval,
                ...(compared.chosen.oneStep.reason === undefined
                  ? {}
                  : { detail: compared.chosen.oneStep.status.replaceAll('-', ' ') }),
              },
            ],
          },
        ],
        { ...frame, title },
      ),
    { title, name: `scales-${outcome.id}`, from: compared, beside: 'methods compared' },
  );
}
notebook.reading`${bulletList(
  questioned.map(({ outcome, site, compared }) => {
    const { low, high } = moves(compared.scales);
    return `${outcome.name}, ${site}: from ${percentDigits(low)} to ${percentDigits(high)} per 100 over the scales; ${
      compared.chosen.oneStep.rate === undefined
        ? 'the one-step model has no answer'
        : `the median study of the one-step model says ${percentDigits(compared.chosen.oneStep.rate)}`
    }.`;
  }),
)}`;

// %% [markdown]
// ## One step: the median study, and the mean over studies
//
// The one-step model has a rate that half of all studies lie above, and a mean of their rates, which is what a patient of a
// hospital not yet seen faces. Their intervals can rest on the curvature of the likelihood at its top (Wald), or on where
// the likelihood itself has fallen (profile), which follows it where it is lopsided.

// %%
for (const each of questioned) {
  notebook.show(
    table({
      caption: `${each.outcome.name}, ${each.site}: the one-step model`,
      columns: [
        { key: 'interval', heading: 'Interval' },
        { key: 'median', heading: 'Median study per 100', align: 'right' },
        { key: 'mean', heading: 'Mean of studies per 100', align: 'right' },
        { key: 'deviation', heading: 'Between-study SD (standard error)', align: 'right' },
        { key: 'ratio', heading: 'Likelihood ratio of one rate (p)', align: 'right' },
      ],
      rows: each.compared.oneStep.map((fit) => ({
        interval: fit.intervalMethod === 'wald' ? 'Wald' : 'profile likelihood',
        median: withLimits(fit.rate, fit.interval),
        mean: withLimits(fit.meanOfStudies?.rate, fit.meanOfStudies?.interval),
        deviation:
          fit.betweenStudyDeviation === undefined
            ? 'no answer'
            : `${fit.betweenStudyDeviation.toFixed(2)}${fit.deviationStandardError === undefined ? '' : ` (${fit.deviationStandardError.toFixed(2)})`}`,
        ratio: fit.likelihoodRatio === undefined ? 'no answer' : ratioText(fit.likelihoodRatio),
      })),
      notes: [
        'The likelihood ratio is 0 in about half of all reviews whose studies share one rate; its p value allows for that.',
      ],
    }),
    { from: each.compared, beside: 'methods compared' },
  );
}
notebook.reading`${bulletList(
  questioned.map(({ outcome, site, compared }) => {
    const [fit] = compared.oneStep;
    return fit?.rate === undefined || fit.meanOfStudies === undefined
      ? `${outcome.name}, ${site}: the one-step model has no answer.`
      : `${outcome.name}, ${site}: ${percentDigits(fit.rate)} per 100 in the median study and ${percentDigits(fit.meanOfStudies.rate)} on average over studies.`;
  }),
)}`;

// %% [markdown]
// ## Where they part, and why
//
// The choices ranked by how far they move the answer, for each pool.

// %%
for (const { outcome, site, compared } of questioned) {
  notebook.show(
    table({
      caption: `${outcome.name}, ${site}: what the answer hangs on`,
      columns: [
        { key: 'choice', heading: 'Choice' },
        { key: 'range', heading: 'Per 100, lowest to highest', align: 'right' },
        { key: 'apart', heading: 'Apart', align: 'right' },
      ],
      rows: compared.spread.map(({ choice, rates, width: apart }) => ({
        choice,
        range: percentLimits(rates),
        apart: percentDigits(apart),
      })),
    }),
    { from: compared, beside: 'methods compared' },
  );
}
notebook.reading`${bulletList(
  questioned.map(({ outcome, site, compared, material }) => {
    const [first] = compared.spread;
    return first === undefined
      ? `${outcome.name}, ${site}: too few answers to compare.`
      : `${outcome.name}, ${site}: the largest spread comes from ${first.choice}, ${percentDigits(first.width)} per 100 apart; that is ${first.width < material ? 'less' : 'no less'} than a difference that would matter.`;
  }),
)}

Estimators part when studies differ in size and in rate at once; scales part when arms have few events or none;
intervals part when studies are few.`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so.

// %%
notebook.claim(
  'The truncated Hartung-Knapp interval is nowhere shorter than the Wald interval.',
  questioned.every(({ compared }) => {
    const by = (id: string) => width(compared.meanIntervals.find((each) => each.id === id)!);
    return (by('truncated-hartung-knapp') ?? 0) >= (by('wald') ?? 0) - 1e-12;
  }),
);
notebook.claim(
  'The empirical Bayes and the Paule-Mandel variances are the same.',
  questioned.every(({ compared }) => {
    const by = (id: string) =>
      compared.varianceEstimators.find((each) => each.id === id)?.pool.twoStep.heterogeneity
        ?.betweenStudyVariance;
    return by('empirical-bayes') === by('paule-mandel');
  }),
);
notebook.claimForDemo(
  'For the common event no estimator moves the rate by a difference that would matter.',
  () =>
    questioned
      .filter(({ outcome }) => outcome.id === 'cosmetic-deformity')
      .every(({ compared, material }) => {
        const { low, high } = moves(compared.varianceEstimators);
        return high - low < material;
      }),
);
