// %% [markdown]
// # Published results, computed again
//
// **The question.** Can the arithmetic behind the other pages be trusted?
//
// **How it is answered.** Counts that others published go through the same functions as the review's, and the
// result stands beside the digit that was printed. A figure agrees when it lies within half a unit of the last digit.
//
// **What would change the answer.** One figure that differs without a reason. Agreement shows that formulas are
// computed as their authors computed them; it does not show that a method suits a question.

// %% [markdown]
// ## Intervals of a single rate
//
// Each arm of a review has an interval of its own. Newcombe compared ways to make one; two of them are used here,
// and the cases include an arm without events.

// %%
import {
  absoluteEffect,
  agreesWithPrinted,
  fitBinomialNormal,
  forestPlot,
  isEstimate,
  oddsRatio,
  openNotebook,
  type PrintedFigure,
  poolEstimates,
  printedTable,
  rateInterval,
} from '../src/index.ts';
import { bcgPrinted, bcgTrials } from './data/bcgVaccine.ts';
import { hospitals, hospitalsPrinted } from './data/hospitalMortality.ts';
import { passiveSmoking, passiveSmokingPrinted } from './data/passiveSmoking.ts';
import { singleProportions } from './data/singleProportions.ts';
import { tenodesisTenotomy } from './data/tenodesisTenotomy.ts';

const notebook = await openNotebook(import.meta.url, {
  dataFrom: 'Published studies, named beside each example. Nothing on this page comes from the review.',
});
const agreeing = (figures: readonly PrintedFigure[]) =>
  figures.filter(({ printed, value }) => agreesWithPrinted(printed, value)).length;

const known = (value: number | undefined): number => {
  if (value === undefined) throw new Error('a result that should exist is missing');
  return value;
};

const methodNames = { wilson: 'Wilson', 'clopper-pearson': 'Clopper-Pearson' } as const;
const intervals: PrintedFigure[] = singleProportions.flatMap(({ events, total, method, lower, upper }) => {
  const interval = rateInterval({ events, total }, { method, level: 0.95 });
  const name = `${methodNames[method]}, ${events} of ${total}`;
  const source = 'Newcombe 1998, Table I';
  return [
    { quantity: `${name}: lower limit`, printed: lower, value: interval.lower, source },
    { quantity: `${name}: upper limit`, printed: upper, value: interval.upper, source },
  ];
});
notebook.show(printedTable(intervals, { caption: 'Intervals of one rate, 95%' }), {
  beside: 'published data',
});
notebook.record('intervals', intervals);
notebook.reading`${agreeing(intervals)} of ${intervals.length} limits agree to the last digit printed.`;

// %% [markdown]
// ## Thirteen trials of a vaccine
//
// The best known data set of the trade: odds ratios that differ widely between trials, pooled with random effects.
// Their counts are far from biceps surgery, and that is the point: the arithmetic is the same.

// %%
const trials = bcgTrials
  .map(({ trial, year, vaccinated, control }) =>
    oddsRatio({
      study: `trial-${trial}`,
      label: `Trial ${trial} (${year})`,
      treated: vaccinated,
      comparator: control,
    }),
  )
  .filter(isEstimate);
const vaccine = poolEstimates(trials);
notebook.record('vaccine', vaccine);
const { source } = bcgPrinted;
const vaccineFigures: PrintedFigure[] = [
  { quantity: 'Odds ratio', printed: bcgPrinted.oddsRatio, value: known(vaccine.natural?.value), source },
  {
    quantity: 'Odds ratio, lower limit',
    printed: bcgPrinted.oddsRatioLower,
    value: known(vaccine.natural?.interval?.lower),
    source,
  },
  {
    quantity: 'Odds ratio, upper limit',
    printed: bcgPrinted.oddsRatioUpper,
    value: known(vaccine.natural?.interval?.upper),
    source,
  },
  {
    quantity: 'Heterogeneity, Q',
    printed: bcgPrinted.heterogeneityQ,
    value: known(vaccine.heterogeneity?.q),
    source,
  },
  {
    quantity: 'Between-study variance',
    printed: bcgPrinted.betweenStudyVariance,
    value: known(vaccine.heterogeneity?.betweenStudyVariance),
    source,
  },
];
notebook.draw(
  (frame) =>
    forestPlot(vaccine, {
      ...frame,
      title: 'Tuberculosis after vaccination, odds ratio',
      unit: 'person',
      words: {
        treated: 'Vaccinated',
        comparator: 'Not vaccinated',
        lower: 'fewer cases with vaccine',
        higher: 'more cases with vaccine',
      },
    }),
  { title: 'Thirteen trials, pooled with random effects', name: 'vaccine', beside: 'published data' },
);
notebook.show(printedTable(vaccineFigures, { caption: 'Thirteen trials of a vaccine' }), {
  beside: 'published data',
});
notebook.reading`${agreeing(vaccineFigures)} of ${vaccineFigures.length} figures agree.`;

// %% [markdown]
// ## Thirty-seven studies, from printed intervals
//
// When a paper prints a ratio and its interval but no counts, the standard error is worked out from the interval. The
// rows of this example are from memory; the pooled result was seen in print.

// %%
// The normal quantile of a 95% interval, to more digits than any of the printed limits needs.
const normal95 = 1.959963984540054;
const smoking = poolEstimates(
  passiveSmoking.map(({ study, relativeRisk, lower, upper }) => ({
    study,
    label: study,
    value: Math.log(relativeRisk),
    variance: ((Math.log(upper) - Math.log(lower)) / (2 * normal95)) ** 2,
    scale: 'log-risk-ratio' as const,
    addedToEachCell: 0,
    rows: [],
  })),
);
notebook.record('smoking', smoking);
const smokingFigures: PrintedFigure[] = [
  {
    quantity: 'Relative risk',
    printed: passiveSmokingPrinted.relativeRisk,
    value: known(smoking.natural?.value),
    source: passiveSmokingPrinted.source,
  },
  {
    quantity: 'Relative risk, lower limit',
    printed: passiveSmokingPrinted.lower,
    value: known(smoking.natural?.interval?.lower),
    source: passiveSmokingPrinted.source,
  },
  {
    quantity: 'Relative risk, upper limit',
    printed: passiveSmokingPrinted.upper,
    value: known(smoking.natural?.interval?.upper),
    source: passiveSmokingPrinted.source,
  },
];
notebook.show(printedTable(smokingFigures, { caption: 'Lung cancer and a partner who smokes' }), {
  beside: 'published data',
});
notebook.reading`${agreeing(smokingFigures)} of ${smokingFigures.length} figures agree, from ${smoking.studies} studies.`;

// %% [markdown]
// ## Twelve hospitals, one without a death
//
// Rates of a single arm, rare events, one zero: the shape of this review. The printed answer is Bayesian with a vague
// prior; ours is maximum likelihood. They estimate the same two numbers by different roads, so they should be close and
// need not agree in every digit.

// %%
const mortality = fitBinomialNormal(hospitals);
notebook.record('hospitals', mortality);
const mortalityFigures: PrintedFigure[] = [
  {
    quantity: 'Mean log odds',
    printed: hospitalsPrinted.meanLogOdds,
    value: known(mortality.mean),
    source: hospitalsPrinted.source,
  },
  {
    quantity: 'Spread between hospitals (standard deviation of the log odds)',
    printed: hospitalsPrinted.spreadBetweenHospitals,
    value: known(mortality.betweenStudyDeviation),
    source: hospitalsPrinted.source,
  },
];
notebook.show(printedTable(mortalityFigures, { caption: 'Twelve hospitals, two methods' }), {
  beside: 'published data',
});
const apart = Math.abs(known(mortality.mean) - Number(hospitalsPrinted.meanLogOdds));
notebook.reading`The two means lie ${apart.toFixed(3)} apart on the log odds scale; our standard error is
  ${known(mortality.standardError).toFixed(3)}. "Differs" in the table means the last digit, not the message.`;

// %% [markdown]
// ## Tenodesis against tenotomy
//
// Our own field: ten trials pooled by others into an odds ratio for visible deformity, turned into events per 1000.

// %%
const { tenodesis, tenotomy, oddsRatio: ratio, lower, upper, printedFewerPer1000 } = tenodesisTenotomy;
const effect = absoluteEffect(
  { measure: 'odds-ratio', value: ratio, lower, upper },
  tenotomy.events / tenotomy.total,
  `tenotomy arms, ${tenotomy.events} of ${tenotomy.total}`,
);
notebook.record('tenodesis against tenotomy', effect);
const fewer = (difference: number) => -1000 * difference;
const percent = ({ events, total }: { readonly events: number; readonly total: number }) =>
  (100 * events) / total;
const tenodesisFigures: PrintedFigure[] = [
  { quantity: 'Deformity after tenodesis, %', printed: tenodesis.printedPercent, value: percent(tenodesis) },
  { quantity: 'Deformity after tenotomy, %', printed: tenotomy.printedPercent, value: percent(tenotomy) },
  {
    quantity: 'Fewer with tenodesis, per 1000',
    printed: printedFewerPer1000.value,
    value: fewer(effect.difference.value),
  },
  {
    quantity: 'Fewer per 1000, at most',
    printed: printedFewerPer1000.most,
    value: fewer(effect.difference.lower),
  },
  {
    quantity: 'Fewer per 1000, at least',
    printed: printedFewerPer1000.least,
    value: fewer(effect.difference.upper),
  },
].map((figure) => ({ ...figure, source: tenodesisTenotomy.source }));
notebook.show(printedTable(tenodesisFigures, { caption: 'Visible deformity in ten trials' }), {
  beside: 'published data',
});
notebook.reading`${agreeing(tenodesisFigures)} of ${tenodesisFigures.length} figures agree. These trials compare tenodesis
  with tenotomy; they do not compare sites of tenodesis.`;

// %% [markdown]
// ## The headlines, checked
//
// These hold whatever review is read, since this page brings its own data. The run stops if one does not.

// %%
const exact = [...intervals, ...vaccineFigures, ...smokingFigures, ...tenodesisFigures];
notebook.claim(
  `All ${exact.length} figures made by the same method agree with print to the last digit.`,
  agreeing(exact) === exact.length,
);
notebook.claim(
  'The mean of the twelve hospitals lies within half a standard error of the Bayesian answer.',
  apart < 0.5 * known(mortality.standardError),
);
