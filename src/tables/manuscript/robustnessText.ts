import { siteNames } from '../../extraction/site.ts';
import { percentDigits } from '../rateText.ts';
import { extremeOmissions } from '../whatWouldChangeTable.ts';
import type { EventsResults, ManuscriptInput } from './manuscriptInput.ts';
import { after } from './synthesesText.ts';
import { counted, listed, percent, pValue, shareOf, small, typed } from './words.ts';
import type { Writer } from './writer.ts';

/** Results: exploration of heterogeneity, sensitivity, reporting biases, certainty. */
export function writeRobustness(write: Writer, input: ManuscriptInput): void {
  write.heading('Results', 'Causes of heterogeneity');
  write.ask('20c', 'Exploration of heterogeneity showed {0}.', [
    'result of each subgroup analysis or meta-regression, or a statement that none was done',
  ]);
  write.heading('Results', 'Sensitivity analyses');
  for (const [at, outcome] of input.outcomes.entries()) writeSensitivityOf(write, outcome, `outcomes.${at}`);
  writeReportingBias(write, input);
  writeCertainty(write, input);
}

function writeSensitivityOf(write: Writer, outcome: EventsResults, path: string): void {
  const { selection, pools, changes = [], midGroove = [] } = outcome;
  const name = small(typed(selection.outcome.name));
  for (const [at, each] of changes.entries()) {
    const site = pools.sites[at];
    const ends = each.changes === undefined ? undefined : extremeOmissions(each.changes);
    if (site === undefined || ends === undefined || each.changes?.pool.headline === undefined) continue;
    const rows = site.pool.arms.map(({ row }) => row);
    const { lowest, highest } = ends;
    write.say(
      '20d',
      `Leaving out each study in turn, the rate of ${name} ${after(site.site)} (${percent(each.changes.pool.headline.rate)}) ran from ${percent(lowest.rate)} (without ${typed(lowest.label)}) to ${percent(highest.rate)} (without ${typed(highest.label)}).`,
      { rows, results: [`${path}.changes.${at}.changes.omitted`] },
    );
  }
  if (midGroove.length < 2) return;
  const moved = pools.sites.flatMap(({ site }, at) => {
    const rates = midGroove.flatMap(({ pools: other }) => other.sites[at]?.pool.headline?.rate ?? []);
    const texts = new Set(rates.map(percentDigits));
    if (rates.length < 2 || texts.size < 2) return [];
    return [{ site, low: Math.min(...rates), high: Math.max(...rates) }];
  });
  const rows = midGroove.flatMap(({ pools: other }) =>
    other.sites.flatMap(({ site, pool }) =>
      moved.some((each) => each.site === site) ? pool.arms.map(({ row }) => row) : [],
    ),
  );
  write.say(
    '20d',
    moved.length === 0
      ? `Under the three ways to count fixation in the middle of the groove the pooled rates of ${name} were the same in the digits printed.`
      : `Under the three ways to count fixation in the middle of the groove the rate of ${name} ran ${listed(moved.map(({ site, low, high }) => `from ${percent(low)} to ${percent(high)} ${after(site)}`))}.`,
    { rows, results: [`${path}.midGroove`] },
  );
}

function writeReportingBias(write: Writer, { outcomes, missing }: ManuscriptInput): void {
  write.heading('Results', 'Reporting biases');
  for (const [at, { selection, pools, changes }] of outcomes.entries()) {
    if (changes === undefined) continue;
    const name = small(typed(selection.outcome.name));
    const untested: string[] = [];
    for (const [index, each] of changes.entries()) {
      const site = pools.sites[index];
      if (site === undefined || site.pool.studies === 0) continue;
      const test = each.changes?.sizeTest;
      if (test?.kind !== 'regression-test' || test.pValue === undefined) {
        untested.push(`${small(siteNames[site.site])} (${counted(site.pool.studies, 'study', 'studies')})`);
        continue;
      }
      const { slope } = test.line;
      const side = slope.value > 0 ? 'higher' : 'lower';
      const lean = test.pValue < 0.1;
      write.say(
        '21',
        `For ${name} ${after(site.site)} (${counted(test.studies, 'study', 'studies')}) smaller arms had ${side} rates (slope of the arcsine-transformed rate on one over the number of shoulders ${signed(slope.value)}, ${Math.round(100 * slope.interval.level)}% confidence interval ${signed(slope.interval.lower)} to ${signed(slope.interval.upper)}; ${pValue(test.pValue)}); ${lean ? 'missing studies are one of several possible causes' : 'with so few studies the test cannot exclude small-study effects'}.`,
        {
          rows: site.pool.arms.map(({ row }) => row),
          results: [`outcomes.${at}.changes.${index}.changes.sizeTest`],
        },
      );
    }
    if (untested.length > 0) {
      write.say(
        '21',
        `Small-study effects on ${name} could not be tested, with fewer than ten studies or without a pooled rate, for ${listed(untested)}.`,
        { results: [`outcomes.${at}.changes`] },
      );
    }
  }
  if (missing !== undefined && missing.studies.length > 0) {
    const texts = missing.outcomes.map(
      ({ name, studies }) => `${small(typed(name))} ${shareOf(studies.used, missing.studies.length)}`,
    );
    write.say(
      '21',
      `Eligible reports with a result in the synthesis: ${listed(texts)}; what the others found is not known.`,
      { results: ['missing.outcomes'] },
    );
  }
  write.ask('21', 'The risk of bias from missing results was judged to be {0}.', [
    'judgement for each synthesis, with the reason',
  ]);
}

const signed = (value: number): string => value.toFixed(2).replace('-', '\u2212');

function writeCertainty(write: Writer, { certainty = [], outcomes }: ManuscriptInput): void {
  write.heading('Results', 'Certainty of evidence');
  if (certainty.length === 0) {
    write.ask('22', 'Certainty of the evidence was {0}.', ['rating for each outcome, with the reasons']);
    return;
  }
  for (const [at, rating] of certainty.entries()) {
    const { question, level } = rating;
    const outcome = outcomes.find(({ selection }) => selection.outcome.id === question.outcome);
    const name = small(typed(outcome?.selection.outcome.name ?? question.outcome));
    const what =
      question.kind === 'rate'
        ? `the rate of ${name} ${after(question.site)}`
        : `${name} ${after(question.site)} against ${small(siteNames[question.comparator])}`;
    const sources = { rows: rating.rows, results: [`certainty.${at}`] };
    if (level === undefined) {
      write.say('22', `No study answered the question of ${what}.`, sources);
      continue;
    }
    const down = rating.domains.filter(({ levels }) => levels < 0).map(({ domain }) => domain);
    const up = rating.domains.filter(({ levels }) => levels > 0).map(({ domain }) => domain);
    const why = [
      ...(down.length > 0 ? [`rated down for ${listed(down)}`] : []),
      ...(up.length > 0 ? [`rated up for ${listed(up)}`] : []),
    ];
    const text = `Certainty about ${what} was ${level}${why.length > 0 ? ` (${why.join('; ')})` : ''}.`;
    if (rating.confirmed) write.say('22', text, sources);
    else {
      write.ask(
        '22',
        `${text.slice(0, -1)}, as proposed from the data {0}.`,
        ['to be confirmed by the reviewers, with reasons'],
        sources,
      );
    }
  }
}
