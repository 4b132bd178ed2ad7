// %% [markdown]
// # What else differs between the sites
//
// **The question.** Groove pain is reported at different rates after different fixation sites. How much of that is
// the site, and how much is who was operated on: older patients, more cuff repairs, longer follow-up, another examiner?
//
// **What this can and cannot show.** Studies are compared here, not patients. Whatever else differs between studies
// moves along with the feature looked at, so an association between studies is not the effect of changing anything.
// Adjusting helps against what the papers report, and against nothing else.
//
// **What would change the answer.** Trials that allot the site by chance; papers that report the results of shoulders
// with and without a cuff repair apart.

// %% [markdown]
// ## What the papers say about their arms
//
// A feature can only be adjusted for where it is reported. An arm that does not report it is left out by name; nothing
// is filled in.

// %%
import {
  agreeing,
  armModerators,
  betweenStudyContrast,
  bubblePlot,
  bulletList,
  contrastSingleArms,
  counted,
  estimateRates,
  fitMetaRegression,
  isReported,
  moderatorRows,
  moderatorsReported,
  openNotebook,
  percentLimits,
  percentText,
  permutationTest,
  poolBySite,
  pooledSites,
  prose,
  protocolOptions,
  regressArms,
  regressionLine,
  selectEvents,
  siteNames,
  table,
  tradeOffBySite,
  tradeOffPlot,
} from '../src/index.ts';
import { demoGroovePain } from './data/demoGroovePain.ts';

const notebook = await openNotebook(import.meta.url);
const { review } = notebook;
notebook.needsOutcome('groove-pain', 'cosmetic-deformity');
const selection = selectEvents(review, 'groove-pain');
const {
  level = 0.95,
  zeroEvents = 'leave-out',
  ...others
} = protocolOptions(review.protocol, selection.outcome);
const pools = poolBySite(selection.arms, { ...others, level, zeroEvents });
const arms = selection.arms.filter(({ site }) => pooledSites.some((pooled) => pooled === site));
const rates = estimateRates(arms, { scale: 'logit', zeroEvents });
const rows = moderatorRows(review, arms, rates.estimates);
const reported = moderatorsReported(rows);
notebook.show(
  table({
    caption: 'Features of the arms, and how many arms report each',
    columns: [
      { key: 'feature', heading: 'Feature' },
      { key: 'reported', heading: 'Arms that report it', align: 'right' },
    ],
    rows: reported.map(({ covariate, reported: count, rows: all }) => ({
      feature: covariate.name,
      reported: `${count} of ${all}`,
    })),
  }),
  { from: rates, beside: 'about the studies' },
);
const { site, cuffRepair } = armModerators;
const silent = reported.find(({ covariate }) => covariate.id === 'cuffRepair')!;
const unsaid = silent.rows - silent.reported;
notebook.reading`${
  unsaid === 0
    ? 'Every arm says how many shoulders had their cuff repaired.'
    : `${unsaid} of ${counted(silent.rows, 'arm')} ${agreeing(unsaid, 'does', 'do')} not say how many shoulders had their cuff repaired, and ${agreeing(unsaid, 'drops', 'drop')} out of every analysis that asks.`
}`;

// %% [markdown]
// ## Were the arms alike to begin with?
//
// Before any adjustment: if one site's arms had many more cuff repairs than another's, their rates differ for a reason
// that is not the site.

// %%
const shareOf = (place: string) => {
  const known = rows
    .filter(({ covariates }) => covariates.site === place)
    .map(({ covariates }) => covariates.cuffRepair)
    .filter((value) => value !== undefined && isReported(value))
    .map(Number)
    .sort((a, b) => a - b);
  return { known, median: known.at(Math.floor(known.length / 2)) };
};
notebook.show(
  table({
    caption: 'Share with cuff repair, by site',
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'arms', heading: 'Arms that report it', align: 'right' },
      { key: 'median', heading: 'Median arm, %', align: 'right' },
      { key: 'range', heading: 'Smallest to largest, %', align: 'right' },
    ],
    rows: pooledSites.map((place) => {
      const { known, median } = shareOf(place);
      return {
        site: siteNames[place],
        arms: known.length,
        median: median?.toFixed(0),
        range: known.length > 0 ? `${known[0]!.toFixed(0)} to ${known.at(-1)!.toFixed(0)}` : undefined,
      };
    }),
  }),
  { from: rates, beside: 'about the studies' },
);
const medians = pooledSites
  .map((place) => ({ name: siteNames[place], median: shareOf(place).median }))
  .filter((each) => each.median !== undefined)
  .sort((a, b) => a.median! - b.median!);
notebook.reading`${
  medians.length < 2
    ? 'Too few arms report it to compare the sites.'
    : `The median arm had a cuff repair in ${medians.at(-1)!.median!.toFixed(0)} % of shoulders at ${medians.at(-1)!.name.toLowerCase()} and in ${medians[0]!.median!.toFixed(0)} % at ${medians[0]!.name.toLowerCase()}.`
}`;

// %% [markdown]
// ## Groove pain against the share with cuff repair
//
// Every arm as a circle. Marks show the site: where one site's marks lie together at one end, site and cuff repair are
// hard to tell apart.

// %%
const { model = 'random-effects', betweenStudyVariance = 'dersimonian-laird' } = others;
const estimator = { model, betweenStudyVariance } as const;
const slope = fitMetaRegression(rows, [cuffRepair.covariate], {
  ...estimator,
  level,
  leftOut: rates.leftOut,
});
notebook.record('regression on cuff repair', slope, { supporting: true });
notebook.draw(
  (frame) =>
    bubblePlot(regressionLine(slope, 'cuffRepair'), {
      ...frame,
      title: `${selection.outcome.name} against share with cuff repair`,
    }),
  {
    title: 'Every arm, and the line between them',
    name: 'bubbles',
    from: slope,
    beside: 'about the studies',
  },
);
const line = slope.fit?.coefficients.find(({ id }) => id === 'cuffRepair');
const oddsText = (value: number): string => Math.exp(value).toFixed(2);
notebook.show(
  prose`${
    line === undefined
      ? 'Too few arms report it for a line.'
      : `With ten percentage points more cuff repairs the odds of groove pain are multiplied by ${oddsText(10 * line.value)} (${oddsText(10 * line.interval.lower)} to ${oddsText(10 * line.interval.upper)}); the share explains ${slope.fit!.varianceExplained === undefined ? 'nothing, there being no variance between arms,' : `about ${(100 * slope.fit!.varianceExplained).toFixed(0)} %`} of the variance between arms.`
  } ${betweenStudyContrast}`,
  {
    beside: 'about the studies',
  },
);

// %% [markdown]
// ## Naive and adjusted
//
// Three answers to one question. **As pooled**: two sites' rates side by side, from whatever studies reported them.
// **Within and between studies**: arms of one study kept together, nothing adjusted. **Adjusted**: the same with the
// share of cuff repairs held equal, once with errors that stay valid when the likeness of arms of one study is modelled
// wrongly and once with those of the model. Odds ratios; above 1 means more groove pain at the first site.

// %%
const demo = review.protocol.inventedData === true;
const naive = contrastSingleArms(pools);
const plain = regressArms(rows, [site.covariate], { level, leftOut: rates.leftOut });
const shares = [demoGroovePain.referencePercent, 80];
const adjusted = regressArms(rows, [site.covariate, cuffRepair.covariate], {
  level,
  leftOut: rates.leftOut,
  at: pooledSites
    .filter((place) => shareOf(place).known.length > 0)
    .flatMap((place) =>
      shares.map((share) => ({
        name: `${siteNames[place]}, ${share} % cuff repair`,
        values: { site: place, cuffRepair: share },
      })),
    ),
});
notebook.record('as pooled', naive, { supporting: true });
notebook.record('arms within studies', plain, { supporting: true });
const byModel = regressArms(rows, [site.covariate, cuffRepair.covariate], {
  level,
  leftOut: rates.leftOut,
  dependence: 'three-level',
});
notebook.record('adjusted for cuff repair', adjusted);
notebook.record('adjusted, errors by the model', byModel, { supporting: true });

interface Ratio {
  readonly value: number;
  readonly interval: { readonly lower: number; readonly upper: number };
}
const turned = ({ value, interval }: Ratio): Ratio => ({
  value: 1 / value,
  interval: { lower: 1 / interval.upper, upper: 1 / interval.lower },
});
const ratioOf = (result: typeof plain, one: string, two: string): Ratio | undefined => {
  const found = result.fit?.contrasts.find(
    ({ covariate, level: a, against: b }) =>
      covariate === 'site' && ((a === one && b === two) || (a === two && b === one)),
  );
  const ratio = found?.ratio;
  if (!ratio?.interval) return undefined;
  const known = { value: ratio.value, interval: ratio.interval };
  return found?.level === one ? known : turned(known);
};
const naiveOf = (one: string, two: string): Ratio | undefined => {
  const found = naive.differences.find(
    ({ treatment, comparator }) =>
      (treatment === one && comparator === two) || (treatment === two && comparator === one),
  );
  if (!found?.oddsRatio) return undefined;
  return found.treatment === one ? found.oddsRatio : turned(found.oddsRatio);
};
const odds = (rate: number): number => rate / (1 - rate);
const truthOf = (one: (typeof pooledSites)[number], two: (typeof pooledSites)[number]): number =>
  odds(demoGroovePain.medianRates[one]) / odds(demoGroovePain.medianRates[two]);
const shown = (ratio: Ratio | undefined): string | undefined =>
  ratio &&
  `${ratio.value.toFixed(2)} (${ratio.interval.lower.toFixed(2)} to ${ratio.interval.upper.toFixed(2)})`;
const pairs = pooledSites.flatMap((one, index) =>
  pooledSites.slice(index + 1).map((two) => ({
    one,
    two,
    name: `${siteNames[one]} against ${siteNames[two].toLowerCase()}`,
    naive: naiveOf(one, two),
    plain: ratioOf(plain, one, two),
    adjusted: ratioOf(adjusted, one, two),
    byModel: ratioOf(byModel, one, two),
    truth: truthOf(one, two),
  })),
);
notebook.show(
  table({
    caption: 'One contrast, three answers: odds ratio of groove pain',
    columns: [
      { key: 'pair', heading: 'Sites' },
      { key: 'naive', heading: 'As pooled, not a comparison', align: 'right' },
      { key: 'plain', heading: 'Arms within studies', align: 'right' },
      { key: 'adjusted', heading: 'Adjusted for cuff repair', align: 'right' },
      { key: 'byModel', heading: 'The same, errors by the model', align: 'right' },
      ...(demo ? [{ key: 'truth', heading: 'Truth put in', align: 'right' as const }] : []),
    ],
    rows: pairs.map((pair) => ({
      pair: pair.name,
      naive: shown(pair.naive),
      plain: shown(pair.plain),
      adjusted: shown(pair.adjusted),
      byModel: shown(pair.byModel),
      ...(demo ? { truth: pair.truth.toFixed(2) } : {}),
    })),
    notes: [
      betweenStudyContrast,
      ...(demo ? ['The last column is known because the data are invented.'] : []),
    ],
  }),
  { from: [naive, plain, adjusted, byModel], beside: 'methods compared' },
);
const leavesOut = (ratio: Ratio | undefined, value: number): boolean =>
  ratio !== undefined && (value < ratio.interval.lower || value > ratio.interval.upper);
const changed = pairs.filter(
  (pair) => leavesOut(pair.naive, 1) && pair.adjusted && !leavesOut(pair.adjusted, 1),
);
const misled = pairs.filter((pair) => leavesOut(pair.naive, pair.truth));
const differing = pairs.filter((pair) => leavesOut(pair.naive, 1));
const asked = differing.filter(({ adjusted: held }) => held !== undefined);
const heldEqual = pairs.filter(({ adjusted: held }) => held !== undefined);
notebook.reading`${
  heldEqual.length === 0
    ? 'For no pair could cuff repair be held equal, so what adjusting would change cannot be told.'
    : differing.length === 0
      ? 'As pooled no pair shows a difference, so there is none that adjusting could take away.'
      : asked.length === 0
        ? 'For none of the pairs that differ as pooled could cuff repair be held equal, so what adjusting would change cannot be told.'
        : changed.length === 0
          ? `Of ${counted(asked.length, 'pair')} that ${agreeing(asked.length, 'differs', 'differ')} as pooled and could be adjusted, each still differs once cuff repair is held equal.`
          : `${changed.map(({ name }) => name).join('; ')}: a difference as pooled, which is neither shown nor excluded once cuff repair is held equal.`
}${
  asked.length > 0 && asked.length < differing.length
    ? ` ${counted(differing.length - asked.length, 'further pair')} that ${agreeing(differing.length - asked.length, 'differs', 'differ')} as pooled could not be adjusted.`
    : ''
} ${
  demo
    ? `Here the truth is known: as pooled, the interval misses it for ${misled.length} of ${counted(pairs.filter(({ naive: shownNaive }) => shownNaive !== undefined).length, 'pair')}, adjusted for ${pairs.filter((pair) => leavesOut(pair.adjusted, pair.truth)).length} of ${heldEqual.length}.`
    : 'Whether the adjusted answer is nearer the truth cannot be known from these data: what no paper reports is not adjusted for.'
}`;

// %% [markdown]
// ## Rates at a stated share
//
// The same model read as rates: what a site would show with few and with many cuff repairs, and where the next arm of
// the next study might lie.

// %%
notebook.show(
  table({
    caption: 'Expected groove pain, per 100 shoulders',
    columns: [
      { key: 'name', heading: 'Site and share' },
      { key: 'rate', heading: 'Rate', align: 'right' },
      { key: 'interval', heading: 'Interval', align: 'right' },
      { key: 'next', heading: 'The next arm', align: 'right' },
    ],
    rows: (adjusted.fit?.predictions ?? []).map(({ name, natural }) => ({
      name,
      rate: natural && percentText(natural.value),
      interval: natural?.interval && percentLimits(natural.interval),
      next: natural?.prediction && percentLimits(natural.prediction),
    })),
  }),
  { from: adjusted, beside: 'about the studies' },
);
notebook.reading`${bulletList(adjusted.cautions.map(({ message }) => message))}`;

// %% [markdown]
// ## Every feature by itself
//
// One feature at a time beside the site, so that each is looked at once and none is picked for its p value. With so
// many looks, one in twenty is below 0.05 by chance alone.

// %%
const looks = Object.values(armModerators)
  .filter(({ covariate }) => covariate.id !== 'site')
  .map(({ covariate }) => ({
    covariate,
    fit: fitMetaRegression(rows, [site.covariate, covariate], { ...estimator, level }),
  }));
notebook.show(
  table({
    caption: 'Each feature beside the site',
    columns: [
      { key: 'feature', heading: 'Feature' },
      { key: 'arms', heading: 'Arms used', align: 'right' },
      { key: 'columns', heading: 'Columns', align: 'right' },
      { key: 'p', heading: 'p of the feature', align: 'right' },
      { key: 'residual', heading: 'Variation beyond chance left, %', align: 'right' },
    ],
    rows: looks.map(({ covariate, fit: { fit } }) => {
      const test = fit?.jointTests.find((each) => each.covariate === covariate.id);
      return {
        feature: covariate.name,
        arms: fit?.points.length,
        columns: test?.numerator,
        p: fit && (test === undefined ? 'none' : test.pValue < 0.001 ? '< 0.001' : test.pValue.toFixed(3)),
        residual: fit && (100 * fit.residual.iSquared).toFixed(0),
      };
    }),
    notes: [
      'Standard errors come from whole studies, since arms of one study are not independent. A first look, not an answer.',
      'No p: a level that one study alone reports, or too few studies to test all levels together.',
    ],
  }),
  { from: rates, beside: 'about the studies' },
);
// The largest arm of each study that reports the share, on a tie the first by name: the order of the sheet decides nothing.
const largest = new Map<string, (typeof rows)[number]>();
for (const row of rows) {
  const { site: place, cuffRepair: share } = row.covariates;
  if (place !== 'suprapectoral' || share === undefined || !isReported(share)) continue;
  const { study, arm = '', count } = row.estimate;
  const known = largest.get(study)?.estimate;
  const more = count!.total - (known?.count?.total ?? 0);
  if (more > 0 || (more === 0 && arm < (known?.arm ?? ''))) largest.set(study, row);
}
const within = fitMetaRegression([...largest.values()], [cuffRepair.covariate], { ...estimator, level });
const shuffled = permutationTest(within, { permutations: 2000, seed: 1 });
notebook.record('cuff repair within one site', { within, shuffled }, { supporting: true });
notebook.reading`At one site alone (suprapectoral, the largest arm of each study), where the site cannot confound: ${
  shuffled === undefined
    ? 'too few arms to ask.'
    : `${counted(within.fit!.points.length, 'arm')}, p = ${within.fit!.jointTests[0]!.pValue.toFixed(3)} by the model and ${shuffled.tests[0]!.pValue.toFixed(3)} by shuffling the arms ${shuffled.options.permutations} times.`
}`;

// %% [markdown]
// ## Two outcomes at once
//
// A site may spare the patient pain and cost a bulge. Both rates are taken together, since arms that report much of
// one may report much of the other. Papers do not print the correlation within an arm, so it is stated, and varied.

// %%
const deformity = selectEvents(review, 'cosmetic-deformity');
const correlations = [0, 0.3, 0.6];
const trades = correlations.map((correlationWithinStudy) =>
  tradeOffBySite(
    { name: deformity.outcome.name, arms: deformity.arms },
    { name: selection.outcome.name, arms: selection.arms },
    { zeroEvents, level, correlationWithinStudy },
  ),
);
const trade = trades[1]!;
notebook.record('trade-off', trades, { supporting: true });
notebook.draw(
  (frame) =>
    tradeOffPlot(trade, {
      ...frame,
      title: `${deformity.outcome.name} against ${selection.outcome.name.toLowerCase()}`,
    }),
  { title: 'What each site trades', name: 'trade-off', from: trade, beside: 'sources compared' },
);
notebook.show(
  table({
    caption: 'Both outcomes at each site, by the correlation assumed within an arm',
    columns: [
      { key: 'site', heading: 'Site' },
      { key: 'correlation', heading: 'Assumed', align: 'right' },
      { key: 'first', heading: deformity.outcome.name, align: 'right' },
      { key: 'second', heading: selection.outcome.name, align: 'right' },
      { key: 'between', heading: 'Correlation between studies', align: 'right' },
    ],
    rows: pooledSites.flatMap((place) =>
      trades.map((each, index) => {
        const fit = each.sites.find((row) => row.site === place)?.joint.fit;
        const text = (mean: NonNullable<typeof fit>['first'] | undefined) =>
          mean?.natural?.interval &&
          `${percentText(mean.natural.value)} (${percentLimits(mean.natural.interval)})`;
        return {
          site: siteNames[place],
          correlation: correlations[index]!.toFixed(1),
          first: text(fit?.first),
          second: text(fit?.second),
          between: fit?.correlationBetweenStudies?.toFixed(2).replace('-', '\u2212'),
        };
      }),
    ),
    notes: ['A correlation between studies of 1 or \u22121 says that the arms are too few to tell it.'],
  }),
  { from: trades, beside: 'methods compared' },
);
const moves = trade.sites.flatMap(({ site: place }) => {
  const values = trades.flatMap((each) => {
    const natural = each.sites.find((row) => row.site === place)?.joint.fit?.second.natural;
    return natural ? [natural.value] : [];
  });
  return values.length > 1 ? [Math.max(...values) - Math.min(...values)] : [];
});
notebook.reading`${
  moves.length === 0
    ? 'At no site do enough arms report both outcomes to take them together.'
    : `Over the correlations tried, no site's rate of groove pain moves by more than ${(100 * Math.max(...moves)).toFixed(1)} per 100.`
} The groove pain here is as reported, not adjusted for cuff repair: the picture
  shows what studies saw, and is no comparison of sites.`;

// %% [markdown]
// ## The headlines, checked
//
// The run stops here if one of these is not so. Those about the demo alone are not asked of other data.

// %%
notebook.claim(
  'Every arm is in the adjusted model or listed as left out with its reason.',
  (adjusted.fit?.rows.length ?? 0) + adjusted.leftOut.length === arms.length || adjusted.fit === undefined,
);
notebook.claim(
  'Every adjusted odds ratio lies within its interval.',
  pairs.every((pair) => pair.adjusted === undefined || !leavesOut(pair.adjusted, pair.adjusted.value)),
);
const demoPair = pairs.find(({ one, two }) => one === 'top-of-groove' && two === 'suprapectoral');
notebook.claimForDemo('As pooled, top of groove against suprapectoral misses the truth put in.', () =>
  leavesOut(demoPair?.naive, demoPair!.truth),
);
notebook.claimForDemo(
  'Adjusted for cuff repair, top of groove against suprapectoral holds the truth put in.',
  () =>
    [demoPair?.adjusted, demoPair?.byModel].every(
      (ratio) => ratio !== undefined && !leavesOut(ratio, demoPair!.truth),
    ),
);
