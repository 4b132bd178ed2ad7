// %% [markdown]
// # Pain and function by fixation site
//
// **The question.** After the long head of the biceps is fixed at one of three sites or only released: how much pain is
// left, and how well does the shoulder work?
//
// **Why it is asked.** Scores are what most papers report best, and what their readers compare most freely. They are
// also measured on several scales, printed as means, medians, intervals or standard errors, and crowd against the good
// end of the scale.
//
// **What would change the answer.** A difference between sites larger than patients notice, in studies that compare the
// sites; a difference smaller than that, however sure, would change nothing for a patient.

// %% [markdown]
// ## What each paper printed, put on one scale
//
// A pain line of 0 to 10 and one of 0 to 100 are one scale; a modified score and the original are not. Medians and
// standard errors are turned into means and standard deviations by published formulas, and each conversion is listed.

// %%
import {
  agreeing,
  bulletList,
  clinicalThresholds,
  counted,
  estimateMeans,
  estimateScoreContrasts,
  forestPlot,
  type Interval,
  intervalRows,
  leftOutTable,
  openNotebook,
  type PooledResult,
  poolEstimates,
  pooledSites,
  probabilityDifferenceExceeds,
  selectScores,
  signedFixed,
  siteNames,
  table,
} from '../src/index.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
const outcomes = review.protocol.outcomes.filter((outcome) => outcome.kind === 'score');
if (outcomes.length === 0) notebook.skip('the protocol has no score among its outcomes');
const { model, betweenStudyVariance, interval, prediction, level } = review.protocol.analysis;
const options = { model, betweenStudyVariance, interval, prediction, level };

const selections = outcomes.map((outcome) => ({ outcome, selection: selectScores(review, outcome.id) }));
// Means are pooled scale by scale, in the protocol's order; no two scales are averaged together, and none is dropped.
const questions = selections.flatMap(({ outcome, selection }) =>
  selection.options.scales.flatMap((scale) => {
    const first = selection.arms.find((arm) => arm.scale === scale);
    const several = new Set(selection.arms.map((arm) => arm.scale)).size > 1;
    const name = several && first ? `${outcome.name}, ${first.scaleName}` : outcome.name;
    return first === undefined ? [] : [{ outcome, selection, scale, first, name }];
  }),
);
for (const { outcome, selection } of selections) {
  notebook.record(`selection: ${outcome.id}`, selection);
  const conversions = new Map<string, number>();
  for (const arm of selection.arms) {
    for (const { method } of arm.conversions) {
      // One line a method, whatever each arm's degrees of freedom.
      const what = method.replace(/ with \d+ degrees of freedom/, '');
      conversions.set(what, (conversions.get(what) ?? 0) + 1);
    }
  }
  notebook.show(
    table({
      caption: `${outcome.name}: how ${counted(selection.arms.length, 'arm')} ${agreeing(selection.arms.length, 'was', 'were')} read`,
      columns: [
        { key: 'what', heading: 'Conversion' },
        { key: 'arms', heading: 'Arms', align: 'right' },
      ],
      rows: [
        {
          what: 'mean and standard deviation as printed',
          arms: selection.arms.filter(({ conversions: made }) => made.length === 0).length,
        },
        ...[...conversions].sort((a, b) => b[1] - a[1]).map(([what, arms]) => ({ what, arms })),
      ],
    }),
    { from: selection },
  );
}
const doubtful = selections.flatMap(({ selection }) =>
  selection.arms.filter(({ cautions }) => cautions.some(({ code }) => code.endsWith('the-end-of-the-scale'))),
).length;
notebook.reading`${bulletList(
  selections.map(({ outcome, selection }) => {
    const scales = questions.flatMap((each) =>
      each.selection === selection ? `the ${each.first.scaleName}` : [],
    );
    return `${outcome.name}: ${counted(selection.arms.length, 'arm')} can be read, ${counted(selection.leftOut.length, 'row')} could not be used${scales.length === 0 ? '' : `; means below are on ${scales.join(', then on ')}`}.`;
  }),
)}

${
  doubtful === 0
    ? 'No arm has a mean so near the end of its scale that its scores could not be evenly spread around it.'
    : `${counted(doubtful, 'arm')} ${agreeing(doubtful, 'has', 'have')} a mean so near the end of the scale that the scores cannot be evenly spread around it: the standard deviation there, and every conversion from a median, is to be read with doubt.`
}`;

// %% [markdown]
// ## The mean at each site
//
// Single arms side by side, which is not a comparison: each site is pooled from its own arms, whoever was in them.

// %%
// A normal model does not know that a scale ends; a prediction beyond its end is held there.
const onScale = (range: Interval | undefined, scale: { minimum: number; maximum: number } | undefined) =>
  range && scale
    ? {
        ...range,
        lower: Math.max(range.lower, scale.minimum),
        upper: Math.min(range.upper, scale.maximum),
      }
    : range;
const limits = (range: Interval | undefined) =>
  range ? `${signedFixed(range.lower, 1)} to ${signedFixed(range.upper, 1)}` : 'no answer';
interface SiteMean {
  readonly site: (typeof pooledSites)[number];
  readonly pool: PooledResult;
}
const means = questions.map(({ outcome, selection, scale, first, name }) => {
  const bySite: SiteMean[] = pooledSites.map((site) => {
    const { estimates, leftOut } = estimateMeans(
      selection.arms.filter((arm) => arm.site === site),
      { scale },
    );
    return { site, pool: poolEstimates(estimates, { ...options, leftOut, scale: 'plain' }) };
  });
  // The protocol's first scale keeps the name of the outcome, so that its picture stays where it was.
  const file = scale === selection.options.scales[0] ? outcome.id : `${outcome.id}-${scale}`;
  return { outcome, scale, first, name, file, bySite };
});
for (const { outcome, first, file, bySite } of means) {
  notebook.record(`means by site: ${file}`, { scale: first.scale, bySite });
  const title = `${outcome.name}: mean ${first.scaleName}`;
  notebook.draw(
    (frame) =>
      intervalRows(
        [
          {
            heading: `${first.range ? `${first.range.minimum} to ${first.range.maximum}` : 'points'}, ${first.better} is better`,
            rows: bySite.map(({ site, pool }) => ({
              label: siteNames[site],
              detail: pool.studies === 0 ? 'no arm' : counted(pool.estimates.length, 'arm'),
              value: pool.mean?.value,
              interval: pool.mean?.interval,
              prediction: onScale(pool.prediction, first.range),
            })),
          },
        ],
        {
          ...frame,
          title,
          values: 'points',
          axisTitle: 'Points',
          notes: [
            'Single arms side by side: not a randomised comparison. Predictions are held at the ends of the scale.',
          ],
        },
      ),
    { title, name: `means-${file}`, from: bySite },
  );
  notebook.show(
    table({
      caption: `${title}, by site`,
      columns: [
        { key: 'site', heading: 'Site' },
        { key: 'mean', heading: 'Mean (interval)', align: 'right' },
        { key: 'next', heading: 'Next study', align: 'right' },
        { key: 'studies', heading: 'Studies', align: 'right' },
        { key: 'share', heading: 'Variation beyond chance, %', align: 'right' },
      ],
      rows: bySite.map(({ site, pool }) => ({
        site: siteNames[site],
        mean: pool.mean
          ? `${signedFixed(pool.mean.value, 1)} (${signedFixed(pool.mean.interval.lower, 1)} to ${signedFixed(pool.mean.interval.upper, 1)})`
          : 'no answer',
        next: limits(onScale(pool.prediction, first.range)),
        studies: pool.studies,
        share: pool.heterogeneity ? Math.round(100 * pool.heterogeneity.iSquared) : 'no answer',
      })),
    }),
    { from: bySite },
  );
}
notebook.reading`${bulletList(
  means.map(({ name, bySite }) => {
    const known = bySite.flatMap(({ site, pool }) => (pool.mean ? [{ site, value: pool.mean.value }] : []));
    const sorted = [...known].sort((a, b) => a.value - b.value);
    const [lowest, highest] = [sorted[0], sorted[sorted.length - 1]];
    return lowest && highest
      ? `${name}: pooled means run from ${signedFixed(lowest.value, 1)} (${siteNames[lowest.site]}) to ${signedFixed(highest.value, 1)} (${siteNames[highest.site]}). Who was operated on, and when they were asked, differs between sites.`
      : `${name}: no site can be pooled.`;
  }),
)}`;

// %% [markdown]
// ## Within studies that have two sites
//
// The only fair comparison here: two sites in the same study. Mean differences keep the scale's own points.

// %%
const pairs = questions.flatMap(({ outcome, selection, scale, first, name }) => {
  return pooledSites.flatMap((treated, index) =>
    pooledSites.slice(index + 1).flatMap((comparator) => {
      const { estimates, leftOut } = estimateScoreContrasts(selection.arms, { treated, comparator, scale });
      if (estimates.length === 0) return [];
      const pool = poolEstimates(estimates, { ...options, leftOut, scale: 'mean-difference' });
      return [{ outcome, scale, first, name, treated, comparator, pool }];
    }),
  );
});
if (pairs.length > 0) notebook.record('pairs', pairs);
const fullest = [...pairs].sort((a, b) => b.pool.studies - a.pool.studies)[0];
if (fullest) {
  const title = `${fullest.name}: ${siteNames[fullest.treated]} against ${siteNames[fullest.comparator]}`;
  notebook.draw(
    (frame) =>
      forestPlot(fullest.pool, {
        ...frame,
        title,
        words: {
          lower: `lower after ${siteNames[fullest.treated].toLowerCase()}`,
          higher: `higher after ${siteNames[fullest.treated].toLowerCase()}`,
        },
      }),
    { title, name: 'pair', from: fullest.pool },
  );
}
// Published changes that patients notice, where the registry has one seen on a page for this scale.
const noticed = (scale: string) =>
  clinicalThresholds.filter(
    (threshold) => threshold.scale === scale && threshold.kind === 'minimal-important-change',
  );
const chance = (probability: number | undefined) =>
  probability === undefined
    ? 'no answer'
    : probability < 0.001
      ? 'below 0.1'
      : probability > 0.999
        ? 'above 99.9'
        : (100 * probability).toFixed(1);
notebook.show(
  table({
    caption: 'Mean differences within studies, first site minus second',
    columns: [
      { key: 'outcome', heading: 'Outcome' },
      { key: 'pair', heading: 'Pair' },
      { key: 'difference', heading: 'Difference (interval)', align: 'right' },
      { key: 'studies', heading: 'Studies', align: 'right' },
      { key: 'first', heading: 'Chance the first is noticeably better, %', align: 'right' },
      { key: 'second', heading: 'The second, %', align: 'right' },
      { key: 'change', heading: 'Change that is noticed' },
    ],
    rows: pairs.map(({ name, scale, first, treated, comparator, pool }) => {
      const [threshold] = noticed(scale);
      const answer =
        threshold &&
        probabilityDifferenceExceeds(pool, threshold, {
          ...(first.range ? { range: first.range } : {}),
          better: first.better,
          treated: siteNames[treated],
          comparator: siteNames[comparator],
        });
      return {
        outcome: name,
        pair: `${siteNames[treated]} − ${siteNames[comparator]}`,
        difference: pool.mean
          ? `${signedFixed(pool.mean.value, 1)} (${signedFixed(pool.mean.interval.lower, 1)} to ${signedFixed(pool.mean.interval.upper, 1)})`
          : 'no answer',
        studies: pool.studies,
        first: chance(answer?.treatedBetter),
        second: chance(answer?.comparatorBetter),
        change:
          threshold === undefined
            ? 'none published for this scale'
            : `${threshold.value} points on ${threshold.range.minimum} to ${threshold.range.maximum}: ${threshold.population}, ${threshold.source}`,
      };
    }),
    notes: [
      'A change that one person notices is a threshold for change within a person; using it as a line between two groups is a convention, and labelled so.',
    ],
  }),
  { from: pairs },
);
const decided = pairs.filter(
  ({ pool }) => pool.mean && (pool.mean.interval.lower > 0 || pool.mean.interval.upper < 0),
);
notebook.reading`${counted(pairs.length, 'pair')} of sites ${agreeing(pairs.length, 'meets', 'meet')} in at least one study. In ${decided.length} of them the interval
  excludes no difference${pairs.length === decided.length ? '' : '; in the others a difference is neither shown nor excluded'}. A difference that is sure can still be too small to notice: the chances ask that question
  of the pooled difference, not of a single patient.`;

// %% [markdown]
// ## What was left out
//
// Rows that could not be used, each with its reason.

// %%
for (const { outcome, selection } of selections) {
  notebook.show(
    leftOutTable(
      selection.leftOut.map((left) => ({
        study: left.study,
        label: left.label,
        arm: left.arm ?? '',
        outcome: outcome.id,
        reason: left.reason,
        row: left.rows[0]!,
      })),
      { caption: `Not used for ${outcome.name.toLowerCase()}` },
    ),
  );
}
notebook.reading`A score that is not reported is missing; it is never taken as nought.`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so.

// %%
notebook.claim(
  'Every pooled mean lies within the range of its scale.',
  means.every(({ first, bySite }) =>
    bySite.every(
      ({ pool }) =>
        !pool.mean ||
        !first.range ||
        (pool.mean.value >= first.range.minimum && pool.mean.value <= first.range.maximum),
    ),
  ),
);
notebook.claim(
  'No pool mixes two scales.',
  questions.every(({ selection, scale }) =>
    estimateMeans(selection.arms, { scale }).estimates.every(({ study, arm }) =>
      selection.arms.some((each) => each.study === study && each.arm === arm && each.scale === scale),
    ),
  ),
);
