import { describe, it } from 'vitest';
import { expectAllPrinted, expectPrinted } from '../../helpers/close.ts';
import { type PrintedValue, printedValue, published, recomputedList } from '../../published/published.ts';
import { binomialPosteriorOf, normalPosterior } from './shapes.ts';

function expectRow(actual: number | undefined | readonly (number | undefined)[], row: PrintedValue): void {
  const options = {
    label: `${row.quantity} (${row.seen})`,
    ...(row.within !== undefined && { within: row.within }),
    ...(row.because !== undefined && { because: row.because }),
  };
  if (typeof row.printed === 'string') expectPrinted(actual as number | undefined, row.printed, options);
  else expectAllPrinted(actual as readonly number[], row.printed, options);
}

// Rubin 1981; reference posterior seen in a public repository, book medians from memory.
describe('eight schools', () => {
  const example = published('eight-schools');
  const values = example.rows.map((row) => Number(row.effect));
  const variances = example.rows.map((row) => Number(row.standardError) ** 2);

  it('gives the reference posterior under a half-Cauchy and a normal prior', () => {
    const method = 'mean Normal(0, 5), sd half-Cauchy(0, 5)';
    const posterior = normalPosterior(values, variances, {
      deviationPrior: { kind: 'half-cauchy', scale: 5 },
      meanPrior: { kind: 'normal', mean: 0, deviation: 5 },
    });
    expectRow(posterior.mean.mean, printedValue(example, 'grand mean: posterior mean', method));
    expectRow(
      posterior.betweenStudyDeviation.mean,
      printedValue(example, 'between-school sd: posterior mean', method),
    );
    expectRow(
      posterior.studyEffects.map((effect) => effect.mean),
      printedValue(example, 'school effects: posterior means', method),
    );
  });

  it('gives the book’s medians under flat priors (from memory)', () => {
    const posterior = normalPosterior(values, variances, { deviationPrior: { kind: 'flat' } });
    expectRow(
      posterior.studyEffects.map((effect) => effect.median),
      printedValue(example, 'school effects: posterior medians', 'flat prior on mean and sd'),
    );
  });
});

// Spiegelhalter et al., BUGS Examples volume 1, Surgical: printed estimates with their Monte Carlo error.
describe('surgical mortality in twelve hospitals', () => {
  const example = published('hospital-mortality-proportions');
  const method = 'Bayesian logit-normal model, precision Gamma(0.001, 0.001)';
  const posterior = binomialPosteriorOf(
    example.rows.map((row) => Number(row.events)),
    example.rows.map((row) => Number(row.total)),
    {
      deviationPrior: { kind: 'gamma-on-precision', shape: 0.001, rate: 0.001 },
      meanPrior: { kind: 'normal', mean: 0, deviation: 1000 },
    },
  );

  it.each([
    ['mean logit: posterior mean', posterior.mean.mean],
    ['mean logit: posterior sd', posterior.mean.standardDeviation],
    ['population mean risk: posterior mean', posterior.rate.mean],
    ['between-hospital sd: posterior mean', posterior.betweenStudyDeviation.mean],
    ['between-hospital sd: posterior median', posterior.betweenStudyDeviation.median],
  ])('%s', (quantity, value) => {
    expectRow(value, printedValue(example, quantity, method));
  });

  it('interval of the median hospital’s rate, shrunken rates and their deviations', () => {
    expectRow(
      [posterior.rate.interval.lower, posterior.rate.interval.upper],
      printedValue(example, 'population mean risk: 2.5% and 97.5%', method),
    );
    expectRow(
      posterior.studyRates.map((study) => study.rate.mean),
      printedValue(example, 'risk of each hospital: posterior mean', method),
    );
    expectRow(
      posterior.studyRates.map((study) => study.rate.standardDeviation),
      printedValue(example, 'risk of each hospital: posterior sd', method),
    );
  });
});

// Carlin 1992; BUGS Examples volume 1, Blockers (exact binomial arms there, normal log odds ratios here).
describe('beta-blockers after a heart attack, normal approximation of each trial', () => {
  const example = published('beta-blocker-blocker');
  const cells = example.rows.map((row) => [
    Number(row.eventsTreated),
    Number(row.totalTreated) - Number(row.eventsTreated),
    Number(row.eventsComparator),
    Number(row.totalComparator) - Number(row.eventsComparator),
  ]);
  const values = cells.map(([a, b, c, d]) => Math.log((a! * d!) / (b! * c!)));
  const variances = cells.map((row) => row.reduce((sum, cell) => sum + 1 / cell, 0));
  const diffuse = { kind: 'normal', mean: 0, deviation: 1000 } as const;

  it('printed posterior under the gamma prior', () => {
    const method = 'precision Gamma(0.001, 0.001), diffuse normal priors';
    const { mean, betweenStudyDeviation, prediction } = normalPosterior(values, variances, {
      deviationPrior: { kind: 'gamma-on-precision', shape: 0.001, rate: 0.001 },
      meanPrior: diffuse,
    });
    for (const [quantity, value] of [
      ['log odds ratio: posterior mean', mean.mean],
      ['log odds ratio: posterior sd', mean.standardDeviation],
      ['between-trial sd: posterior mean', betweenStudyDeviation.mean],
      ['between-trial sd: posterior median', betweenStudyDeviation.median],
      ['new-trial effect: posterior sd', prediction.standardDeviation],
    ] as const) {
      expectRow(value, printedValue(example, quantity, method));
    }
  });

  it('is within a twentieth of a standard deviation of the exact binomial answer under the uniform prior', () => {
    const { mean } = normalPosterior(values, variances, {
      deviationPrior: { kind: 'uniform', upper: 5 },
      meanPrior: diffuse,
    });
    const quantity = 'log odds ratio: posterior mean, sd, 2.5%, 97.5%';
    const method = 'standard deviation Uniform(0, 5), diffuse normal priors, random effects';
    const ours = [mean.mean, mean.standardDeviation, mean.interval.lower, mean.interval.upper];
    expectAllPrinted(
      ours,
      recomputedList(example, quantity, method).map((value) => value.toFixed(6)),
      {
        within: 0.05 * 0.0655,
        because: 'trials enter as normal log odds ratios here, as binomial arms there',
      },
    );
    // The printed mean and standard deviation (from memory) hold too; the printed limits are rounded too roughly
    // to tell the two models apart.
    const row = printedValue(example, quantity, method);
    expectAllPrinted(ours.slice(0, 2), row.printed.slice(0, 2) as string[], {
      label: quantity,
      within: row.within!,
      because: row.because!,
    });
  });
});
